"""ISO metric threads."""
