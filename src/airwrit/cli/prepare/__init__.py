"""Commands that get a registration or a paper ready."""
