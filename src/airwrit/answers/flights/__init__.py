"""Flights on record."""
