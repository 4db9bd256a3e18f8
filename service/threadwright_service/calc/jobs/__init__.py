"""A whole job: everything above from one request."""
