"""Reports for people outside the program or above it: each a few sentences and tables, the same on every face."""
