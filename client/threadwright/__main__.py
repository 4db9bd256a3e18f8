"""``python -m threadwright``: the same as the command ``threadwright``."""

import sys

from threadwright.cli import main

if __name__ == "__main__":
    sys.exit(main())
