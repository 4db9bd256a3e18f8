"""Acme and stub Acme threads."""
