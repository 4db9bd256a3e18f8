"""What comes back: one frozen dataclass for each operation, in modules by chapter.

The thread stands around the results of many operations, so its module comes before all of them.
"""

from threadwright.results import threads as threads
