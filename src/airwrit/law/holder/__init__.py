"""The law of who holds: owners, names on certificates, pilots, papers."""
