"""One way against another."""
