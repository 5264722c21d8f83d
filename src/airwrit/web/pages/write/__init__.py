"""Pages that write to the ledger."""
