"""Pipe threads."""
