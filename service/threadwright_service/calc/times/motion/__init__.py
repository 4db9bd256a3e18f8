"""How long a machine takes along a path."""
