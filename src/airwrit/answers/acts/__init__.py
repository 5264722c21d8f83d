"""Life events: what each puts on record and causes."""
