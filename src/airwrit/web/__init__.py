"""The page: words and pixels over one answer each; reads the clock, writes only through the ledger."""
