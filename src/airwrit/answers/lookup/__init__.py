"""Single questions about a number, an address, a rule or a fact."""
