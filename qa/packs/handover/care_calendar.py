"""What a roof of this kind asks of its owner in a year; common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CareRow:
    """One line of the calendar.

    Attributes:
        month: in which month it comes round each year; None where something else calls for it.
    """

    when: str
    what: str
    who: str
    month: int | None = None


_COMPETENT = "A competent person"

CALENDAR: tuple[CareRow, ...] = (
    CareRow(
        when="Every spring",
        what="Clear gutters and outlets. Look at every edge and at the joint with the wall. Take "
        "the year’s photographs, from the same places.",
        who=_COMPETENT,
        month=4,
    ),
    CareRow(
        when="Every autumn, when the leaves are down",
        what="Clear gutters and outlets again. Sweep the roof.",
        who=_COMPETENT,
        month=11,
    ),
    CareRow(
        when="After a storm or heavy snow",
        what="Look for branches, loose edges and standing water. Clear the outlets.",
        who="You, from a window; a competent person on the roof",
    ),
    CareRow(
        when="After work near the roof",
        what="Look for dents, cuts and fixings. Ask who was up there and what they did.",
        who="You, from a window",
    ),
    CareRow(
        when="When you see a stain on a ceiling",
        what="Note the date and the weather. Take a photograph. Call the firm.",
        who="You",
    ),
    CareRow(
        when="When you sell the house",
        what="Hand this pack on, with your photographs and bills.",
        who="You",
    ),
)
