"""Whitworth threads."""
