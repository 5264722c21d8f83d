"""Commands that answer and write nothing to a ledger."""
