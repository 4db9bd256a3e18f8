"""The form in which a job is filled in; it is made from the keys of ``job-sheet``."""
