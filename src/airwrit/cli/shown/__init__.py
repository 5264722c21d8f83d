"""Answers as the terminal prints them."""
