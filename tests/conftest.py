"""What holds for all tests."""

from __future__ import annotations

import os

from hypothesis import settings

# No test asks the clock: a busy machine is no fault of the program. Where a change is judged (CI) the examples are the
# same each time; a person's own run looks at new ones.
settings.register_profile("shop", deadline=None, derandomize="CI" in os.environ)
settings.load_profile("shop")
