"""Photos and PDFs kept in the ledger."""
