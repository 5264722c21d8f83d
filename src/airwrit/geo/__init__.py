"""Distances on the earth, and shapes on it in the decimal degrees they were written in."""
