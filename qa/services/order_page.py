"""Writing the take-off as one page of PDF."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from qa import __version__
from qa.packs.rendering import render_pdf
from qa.packs.takeoff.sheet import order_document
from qa.services.packing import require_writable, write_whole
from qa.services.taking_off import TakenOff


def make_order_page(taken: TakenOff, out: Path, *, dated: date) -> None:
    """Writes the page of a take-off.

    Args:
        taken: the take-off.
        out: the PDF to write; one that is there is replaced, in one step.
        dated: the day on the page, where the record does not give one.

    Raises:
        LaidtrueError: the page cannot be made or written; nothing half-written stays.
    """
    require_writable(out)
    document = order_document(
        taken.take_off,
        taken.specification,
        taken.specification_bytes,
        title=taken.title,
        firm=taken.firm,
        areas=taken.areas,
        dated=taken.dated or dated,
        program=f"Laidtrue {__version__}",
    )
    write_whole(out, render_pdf(document))
