"""Whether a ledger and the evidence beside it are whole."""
