"""The whole page of the sample job, drawings left out, against a copy that a person has read.

`python -m tests.unit.packs.handover.test_golden` writes the copy anew, to be read before it is
committed.
"""

from __future__ import annotations

import re
from pathlib import Path

from qa.packs.handover import handover_pack
from tests.unit.packs.handover.sample_job import sealed_with_a_late_entry, source_of, whole_job

GOLDEN = Path(__file__).parents[3] / "golden" / "handover.html"


def page() -> str:
    """The page without its drawings, which have golden files of their own."""
    html = handover_pack(source_of(sealed_with_a_late_entry(whole_job()))).html
    return re.sub(r"<svg.*?</svg>", "<svg/>", html, flags=re.DOTALL) + "\n"


def test_page_is_the_one_that_was_read() -> None:
    assert page() == GOLDEN.read_text(encoding="utf-8")


if __name__ == "__main__":
    GOLDEN.write_text(page(), encoding="utf-8")
