"""How the depth is divided over the passes."""
