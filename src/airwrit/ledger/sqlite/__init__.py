"""The ledger's storage in one SQLite file."""
