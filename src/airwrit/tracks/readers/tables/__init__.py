"""Tables as logs: the text, what its columns are, and the samples in its rows."""
