"""Commands over the ledger itself: proofs, checks, copies, holds."""
