"""Commands that put facts on record."""
