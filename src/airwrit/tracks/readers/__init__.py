"""Readers of logs, one module a format: bytes of a file in, samples as they were written out."""
