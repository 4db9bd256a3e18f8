"""What runs on the office's own Python is no test module."""

collect_ignore = ["office"]
