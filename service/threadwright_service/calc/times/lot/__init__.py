"""Time and cost of a lot."""
