"""Logs made of messages: each kind has its own clock, and their values are joined into samples."""
