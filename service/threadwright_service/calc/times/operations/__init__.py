"""Times of single operations."""
