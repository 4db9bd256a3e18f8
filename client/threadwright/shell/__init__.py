"""The shell: every operation as a command, with the client's own keys."""
