"""What every test stands on: Hypothesis draws the same examples every time, without a deadline.

A gate that draws anew finds faults of yesterday's code in today's change; two busy cores make any
deadline a coin. Search for new examples with `--hypothesis-profile=search`.
"""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("gate", derandomize=True, deadline=None, database=None, print_blob=True)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile("gate")
