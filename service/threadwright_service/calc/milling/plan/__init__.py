"""The plan that is fastest inside its limits."""
