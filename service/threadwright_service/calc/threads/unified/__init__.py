"""Unified inch threads."""
