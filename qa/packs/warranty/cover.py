"""The cover: which job, whose, judged by what, and which state of the record."""

from __future__ import annotations

from dataclasses import dataclass

from qa.packs.cutting import cut
from qa.packs.source import PackSource, disclosed
from qa.packs.warranty.citing import Citing
from qa.record.kinds.parties import Firm

_TITLE_CHARACTERS = 60
_JOB_CHARACTERS = 24
"""What the running head and three lines of the cover hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """What the cover says.

    Attributes:
        job: reference and title, which also run at the head of every page.
        dated: when the record last grew.
        edition: which state of the record, which also runs at the foot of every page.
        facts: labels and what stands beside them, in order.
        note: what the specification says of itself.
    """

    title: str
    job: str
    dated: str
    edition: str
    facts: tuple[tuple[str, str], ...]
    note: str
    program: str


def cover(source: PackSource, citing: Citing) -> Cover:
    """The cover of a warranty file."""
    opening, assessment = source.job.opening.body, source.assessment
    is_long = len(opening.title) > _TITLE_CHARACTERS
    whole_title = (("Title, whole", opening.title),) if is_long else ()
    return Cover(
        title=cut(opening.title, _TITLE_CHARACTERS),
        job=f"{cut(opening.job, _JOB_CHARACTERS)}, {cut(opening.title, _TITLE_CHARACTERS)}",
        dated=source.day_text(source.dated),
        edition=f"Warranty file, {source.edition}",
        facts=(
            *whole_title,
            (
                "Site, client",
                f"{disclosed(opening.site.address)}; {disclosed(opening.client.name)}",
            ),
            ("Firm", _firm_text(opening.firm)),
            ("Roof", _roof_text(source)),
            ("Work recorded", _days_text(source)),
            ("Record", _record_text(source)),
            ("Hash of its last entry", assessment.head),
            ("Judged by", f"{assessment.specification}, {source.specification.title}"),
            ("SHA-256 of that", assessment.specification_sha256),
            ("Times", _times_text(source, citing)),
        ),
        note=source.specification.note,
        program=source.program,
    )


def _firm_text(firm: Firm) -> str:
    phone = (firm.phone or "").replace(" ", "\u00a0")  # a number is not broken
    return ", ".join(part for part in (firm.name, firm.address, phone, firm.email) if part)


def _roof_text(source: PackSource) -> str:
    areas = source.frame.areas.values()
    parts = [f"{area.body.name}, {area.roof.net_area_m2:.1f} m²" for area in areas]
    return "; ".join(parts) or "no area is recorded"


def _days_text(source: PackSource) -> str:
    times = [entry.at for entry in source.job.entries]
    first, last = source.day_text(min(times)), source.day_text(max(times))
    return first if first == last else f"{first} to {last}"


def _record_text(source: PackSource) -> str:
    count = len(source.job.entries)
    if source.record.is_sealed:
        return f"{count} entries, chained by a ledger as they arrived"
    return f"{count} entries, from a folder that has not passed through a ledger"


def _times_text(source: PackSource, citing: Citing) -> str:
    zone = source.job.opening.body.time_zone
    if len(citing.years) == 1:
        return f"as on the site ({zone}); all of {citing.years[0]} where no year is named"
    return f"as on the site ({zone})"
