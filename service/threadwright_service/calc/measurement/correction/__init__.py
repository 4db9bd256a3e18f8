"""The correction after the first part, and the drift after it."""
