"""``python -m cliptag``."""

import sys

from cliptag.cli import main

sys.exit(main())
