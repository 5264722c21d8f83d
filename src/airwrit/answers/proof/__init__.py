"""Proofs for outsiders, made and verified."""
