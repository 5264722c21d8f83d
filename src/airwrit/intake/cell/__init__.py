"""What one cell says: days, weights, words, identifiers."""
