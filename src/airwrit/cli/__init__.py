"""The terminal: parse, call one answer, print. The only place besides the page that reads the clock."""
