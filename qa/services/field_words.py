"""The fields of an entry in words: a label, and the value with its unit."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from qa.record.kinds.marks import Mark
from qa.record.kinds.papers import Correction
from qa.record.registry import Kind
from qa.record.schema import Body, Withheld, json_name
from qa.services.telling import ERASED, Telling
from qa.trade.notation import number_text, unit_text

KIND_WORDS: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.JOB: "Opening of the job",
        Kind.AREA: "Area",
        Kind.INSTRUMENT: "Instrument",
        Kind.LOT: "Batch",
        Kind.CONDITIONS: "Conditions",
        Kind.MEASUREMENT: "Measurement",
        Kind.OBSERVATION: "Observation",
        Kind.MIX: "Mix",
        Kind.USAGE: "Used material",
        Kind.EXAMINATION: "Examination of a bay",
        Kind.PHOTO: "Photo",
        Kind.INTERRUPTION: "Interruption",
        Kind.SIGN_OFF: "Sign-off or release",
        Kind.NONCONFORMITY: "Nonconformity",
        Kind.DISPOSITION: "Decision on a nonconformity",
        Kind.CLOSURE: "Closure of a nonconformity",
        Kind.CORRECTION: "Correction",
        Kind.ERASURE: "Erasure",
        Kind.NOTE: "Note",
        Kind.HANDOVER: "Handover",
        Kind.INSPECTION: "Inspection",
        Kind.ANNOTATION: "Marks on a photo",
    }
)

LABELS: Mapping[str, str] = MappingProxyType(
    {
        "active_oxygen_pct": "Active oxygen",
        "address": "Address",
        "after_repair": "After repair",
        "air_c": "Air",
        "area": "Area",
        "at": "At",
        "authority": "Authority",
        "batch_number": "Batch number",
        "bay": "Bay",
        "bays": "Bays",
        "body": "New content",
        "bytes": "Size of the file",
        "calibrated_on": "Calibrated on",
        "calibration_due": "Calibration due",
        "caption": "Caption",
        "catalyst_lot": "Catalyst batch",
        "catalyst_ml": "Catalyst",
        "cause": "Cause",
        "check": "Check",
        "client": "Client",
        "competence": "Competence",
        "corrects": "Corrects",
        "crew": "Crew",
        "decision": "Decision",
        "deck_c": "Deck",
        "defect": "Defect found",
        "density_g_per_ml": "Density",
        "description": "Description",
        "disclosures": "Personal values erased",
        "documents": "Documents",
        "edge": "Edge",
        "edges": "Edges",
        "email": "E-mail",
        "emptied_at": "Emptied",
        "entries": "Evidence",
        "entry": "Entry",
        "examined_m2": "Area examined",
        "expanded_uncertainty": "Expanded uncertainty, k = 2",
        "field": "Field",
        "file": "File",
        "finding": "Found",
        "firm": "Firm",
        "from": "From",
        "height_m": "Height",
        "humidity_pct": "Humidity",
        "instrument": "Instrument",
        "instruments": "Instruments",
        "job": "Reference",
        "kg": "Weight",
        "kind": "Kind",
        "latitude_deg": "Latitude",
        "layers": "Layers of mat",
        "length_m": "Length",
        "length_mm": "Length",
        "levels_m": "Levels",
        "limit": "Limit",
        "longitude_deg": "Longitude",
        "lot": "Batch",
        "marks": "Mark",
        "mat_g_per_m2": "Mat",
        "material": "Material",
        "measures": "Measures",
        "media_type": "Kind of file",
        "mix": "Mix",
        "moisture_pct": "Moisture",
        "name": "Name",
        "next_due": "Next due",
        "nonconformity": "Nonconformity",
        "note": "Note",
        "number": "Number",
        "opaque_cm2": "Opaque area",
        "openings_m": "Openings",
        "outlets_m": "Outlets",
        "outline_m": "Outline",
        "passes": "Passes of the roller",
        "person": "Key",
        "phone": "Phone",
        "photo": "Entry of the photo",
        "photos": "Photos erased",
        "pinholes": "Pinholes",
        "points": "Points",
        "product": "Product",
        "protection": "Protection",
        "quantity": "Quantity",
        "rain": "Rain",
        "reason": "Reason",
        "replaces": "Measured again in place of",
        "result": "Answer",
        "role": "Role",
        "roof_build_up": "Build-up",
        "serial": "Serial number",
        "sha256": "SHA-256",
        "site": "Site",
        "slope_deg": "Slope",
        "specification": "Specification",
        "stage": "Stage",
        "statement": "Statement",
        "stirred_after_s": "Stirred after dosing",
        "stirred_before_s": "Stirred before pouring",
        "subject": "About",
        "text": "Text",
        "thickness_mm": "Thickness",
        "time_zone": "Time zone",
        "title": "Title",
        "to": "To",
        "trapped_air": "Air voids",
        "type": "Type",
        "unit": "Unit",
        "until": "Until",
        "upstands": "Upstands",
        "use_by": "Use by",
        "used": "Used",
        "value": "Value",
        "wasted": "Of it wasted",
        "wet_out": "Wet-out",
        "wind_m_per_s": "Wind",
        "words": "Words",
    }
)
"""What a field is called where a person reads or fills it in, by its name in the record."""

_UNITS: tuple[tuple[str, str], ...] = (
    ("_g_per_m2", "g/m²"),
    ("_g_per_ml", "g/ml"),
    ("_m_per_s", "m/s"),
    ("_cm2", "cm²"),
    ("_m2", "m²"),
    ("_pct", "%"),
    ("_deg", "°"),
    ("_mm", "mm"),
    ("_ml", "ml"),
    ("_c", "°C"),
    ("_m", "m"),
    ("_s", "s"),
)
_DIGITS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldText:
    """One field of an entry as a page shows it."""

    label: str
    text: str


def unit_of(name: str) -> str:
    """The unit that a field's name ends in, as it is printed; or nothing.

    >>> unit_of("deck_c"), unit_of("kg"), unit_of("wind_m_per_s"), unit_of("role")
    ('°C', 'kg', 'm/s', '')
    """
    if name in ("kg", "bytes"):
        return name
    return next((unit for ending, unit in _UNITS if name.endswith(ending)), "")


def fields_text(body: Body, telling: Telling) -> tuple[FieldText, ...]:
    """Every field of an entry that holds something, in the order of the format.

    Args:
        body: the entry's body; a correction's new content is left out, see its own page.
        telling: names checks, areas and times of the job.
    """
    return tuple(_rows(body, telling, ""))


def _rows(value: Any, telling: Telling, before: str) -> Iterator[FieldText]:
    for field in dataclasses.fields(value):
        name, held = json_name(field.name), getattr(value, field.name)
        label = f"{before}{LABELS[name]}" if not before else f"{before}{LABELS[name].lower()}"
        if held is None or (isinstance(value, Correction) and name == "body"):
            continue
        if dataclasses.is_dataclass(held) and not isinstance(held, Withheld):
            yield from _rows(held, telling, f"{LABELS[name]}, ")
        elif isinstance(held, tuple) and held and dataclasses.is_dataclass(held[0]):
            for number, item in enumerate(held, start=1):
                yield FieldText(label=f"{label} {number}", text=_inline(item, telling))
        else:
            yield FieldText(label=label, text=_value(name, held, value, telling))


def _inline(item: Any, telling: Telling) -> str:
    """The values of an item of a list, in one line."""
    held = ((f.name, getattr(item, f.name)) for f in dataclasses.fields(item))
    return ", ".join(
        _value(name, value, item, telling) for name, value in held if value is not None
    )


def _value(name: str, value: Any, of: Any, telling: Telling) -> str:
    """One value with its unit."""
    if isinstance(value, Withheld):
        return ERASED
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        unit = unit_of(name) or (unit_text(str(of.unit)) if _has_own_unit(name, of) else "")
        return f"{number_text(float(value), _DIGITS)} {unit}".rstrip()
    if isinstance(value, date):
        return _day(value, telling)
    if isinstance(value, tuple):
        return points_text(of) if isinstance(of, Mark) else _listed(name, value, of, telling)
    return _words(name, value, telling)


def _listed(name: str, values: tuple[Any, ...], of: Any, telling: Telling) -> str:
    separator = "; " if any(isinstance(item, tuple) for item in values) else ", "
    return separator.join(_value(name, item, of, telling) for item in values)


def points_text(mark: Mark) -> str:
    """Where a mark lies: "12 % across, 40 % down to 30 % across, 52 % down"."""
    return " to ".join(
        f"{number_text(100 * across)} % across, {number_text(100 * down)} % down"
        for across, down in mark.points
    )


_OF_THE_ENTRY = frozenset({"value", "quantity", "used", "wasted"})


def _has_own_unit(name: str, of: Any) -> bool:
    """Whether a number counts in the unit that stands in a field beside it."""
    return name in _OF_THE_ENTRY and hasattr(of, "unit")


def _words(name: str, value: str, telling: Telling) -> str:
    if name == "check":
        return telling.check(value)
    if name == "area":
        return telling.areas.get(value, value)
    return value.replace("_", " ") if isinstance(value, StrEnum) else _printable(value)


def _day(value: date, telling: Telling) -> str:
    """A day, or a time on the site's clock."""
    if isinstance(value, datetime):
        return f"{value.astimezone(telling.zone):%d %B %Y, %H:%M:%S}".lstrip("0")
    return f"{value:%d %B %Y}".lstrip("0")


def _printable(text: str) -> str:
    """A whole text, without signs that steer what is shown."""
    return "".join(sign if sign.isprintable() or sign == "\n" else "�" for sign in text)
