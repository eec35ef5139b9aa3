"""Run the command line as `python -m explain`."""

import sys

from explain.cli import main

sys.exit(main())
