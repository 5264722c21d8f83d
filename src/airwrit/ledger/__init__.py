"""The ledger: entries that are only ever added, their Merkle log, and how things stood as of a day and a moment."""
