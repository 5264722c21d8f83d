"""Drawings, words and type of the page."""
