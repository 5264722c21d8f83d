"""Every day that matters."""
