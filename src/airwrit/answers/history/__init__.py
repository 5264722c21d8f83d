"""What is on record, read as of a day and a moment."""
