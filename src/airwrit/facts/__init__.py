"""The vocabulary: keys declared once, statements, and the one fold that says how things stood on a day."""
