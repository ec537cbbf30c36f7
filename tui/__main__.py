"""`python -m tui` is `linewalk`."""

import sys

from tui.cli import main

sys.exit(main())
