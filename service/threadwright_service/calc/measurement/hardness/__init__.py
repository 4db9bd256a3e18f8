"""Hardness and its conversion."""
