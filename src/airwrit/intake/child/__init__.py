"""The process that reads a stranger's bytes, apart from ours, with its limits."""
