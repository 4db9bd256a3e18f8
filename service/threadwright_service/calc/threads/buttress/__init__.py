"""Buttress threads."""
