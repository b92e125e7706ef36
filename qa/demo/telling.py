"""What the command prints when the demonstration is made."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

from qa.assess.finding import Assessment
from qa.assess.summary import summary_text


def told(assessment: Assessment, folder: Path, packs: Sequence[Path]) -> str:
    """The text for the terminal.

    Args:
        assessment: of the demonstration job.
        folder: its job folder.
        packs: its PDFs.
    """
    shown = shlex.quote(str(folder))
    listed = "\n".join(f"  {path}" for path in packs)
    return f"""\
The demonstration job is ready. Firm, people, roof and figures are invented, and every picture is
drawn by the program and says so.

Job folder
  {folder}
Packs
{listed}

{summary_text(assessment)}
To look further
  laidtrue assess {shown}
  laidtrue assess {shown} --json
  laidtrue pack handover {shown} --out handover.pdf
"""
