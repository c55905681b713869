"""``python -m sewkit`` is the command ``sewkit``."""

import sys

from sewkit.cli import main

sys.exit(main())
