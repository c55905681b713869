"""Put the project on the path, so that the tests run from a plain checkout."""

import os
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

try:
    from hypothesis import settings
except ImportError:  # only some tests need it
    pass
else:
    # The gate must say the same of the same commit twice; at home new examples are tried.
    settings.register_profile("gate", derandomize=True, deadline=None)
    if os.environ.get("CI") == "true":
        settings.load_profile("gate")
