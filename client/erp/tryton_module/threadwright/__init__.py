"""Times, cost and quality control of threads, worked out by a Threadwright service."""
