"""The least that tells whether anything changed: look at each file of a list from outside. `python sweep.py LIST`."""

import os
import sys

if __name__ == "__main__":
    with open(sys.argv[1]) as names:  # noqa: PTH123  the least is without pathlib
        for name in names:
            os.stat(name[:-1])  # noqa: PTH116
