"""One file a page: each asks one answer and hands back a sheet."""
