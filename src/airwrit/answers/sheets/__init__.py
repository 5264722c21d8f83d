"""Files into the ledger: what they would change, then kept."""
