"""Threads turned with a single point."""
