"""Keeping batteries and aircraft fit to fly, and people in practice: what is on record, what is due, what is missing."""
