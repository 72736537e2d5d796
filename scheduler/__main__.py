"""``python -m scheduler`` and the script ``heatslot``."""

import sys

from scheduler.cli.application import main

__all__ = ["main"]

if __name__ == "__main__":
    sys.exit(main())
