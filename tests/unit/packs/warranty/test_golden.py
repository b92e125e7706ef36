"""The whole page of the sample job against a copy that a person has read.

Drawings have golden files of their own; digests change with every word of the specification. Both
are left out.

`python -m tests.unit.packs.warranty.test_golden` writes the copy anew, to be read before it is
committed.
"""

from __future__ import annotations

import re
from pathlib import Path

from qa.packs.warranty import warranty_file
from tests.unit.packs.warranty.warranty_job import late_photo, warranty_job, warranty_source

GOLDEN = Path(__file__).parents[3] / "golden" / "warranty.html"


def page() -> str:
    """The page without its drawings and digests."""
    html = warranty_file(warranty_source(late_photo(warranty_job()))).html
    html = re.sub(r"<svg.*?</svg>", "<svg/>", html, flags=re.DOTALL)
    return re.sub(r"\b[0-9a-f]{64}\b", "DIGEST", html) + "\n"


def test_page_is_the_one_that_was_read() -> None:
    assert page() == GOLDEN.read_text(encoding="utf-8")


if __name__ == "__main__":
    GOLDEN.write_text(page(), encoding="utf-8")
