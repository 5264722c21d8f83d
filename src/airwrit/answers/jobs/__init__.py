"""Jobs from beginning to end: a new aircraft, renewals, filings, somebody leaves, somebody joins; each one entry."""
