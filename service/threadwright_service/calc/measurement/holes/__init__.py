"""The hole before the thread."""
