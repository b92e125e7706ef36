"""A list of areas before there is a record: a small TOML or JSON file, for a take-off.

Each area is written exactly as the body of an `area` entry, so that what was taken off can be
copied into the job's record once the work begins.
"""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from typing import Annotated

from qa.errors import Problem, RecordError
from qa.record import fields
from qa.record.fields import Fault, Json
from qa.record.kinds.place import Area
from qa.record.kinds.quantities import Text
from qa.record.schema import object_reader


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaList:
    """What the file holds.

    Attributes:
        area: the areas, 1 or more, each under its own key.
        title: what is to be roofed, or None.
        specification: name and version of a built-in specification, or None.
    """

    area: Annotated[tuple[Area, ...], fields.some(object_reader(Area), what="area")]
    title: Text | None = None
    specification: Text | None = None


_read = object_reader(AreaList)


def parse_area_list(text: str, *, file: str) -> AreaList:
    """Read a list of areas.

    Args:
        text: the file's text: JSON where its name ends in ".json", TOML otherwise.
        file: its name, for the sentences of an error.

    Raises:
        RecordError: with every fault of the file.
    """
    parsed = _parsed(text, file)
    try:
        areas = _read(parsed)
    except Fault as fault:
        raise RecordError(tuple(_problem(file, *part) for part in fault.faults)) from fault
    seen: set[str] = set()
    for area in areas.area:
        if area.area in seen:
            sentence = f"area “{area.area}” is there twice; give one of them another key."
            raise RecordError((Problem(place=file, sentence=sentence, field="area"),))
        seen.add(area.area)
    return areas


def _parsed(text: str, file: str) -> Json:
    kind = "JSON" if file.lower().endswith(".json") else "TOML"
    try:
        return json.loads(text) if kind == "JSON" else tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        place = re.search(r"line (\d+)", str(error))
        line = int(place[1]) if place else None
        where = file if line is None else f"{file}, line {line}"
        sentence = f"the text is not {kind}: {error}; mend it and try again."
        raise RecordError((Problem(place=where, sentence=sentence, line=line),)) from error


def _problem(file: str, path: str, sentence: str) -> Problem:
    """A fault as a problem; the area that it is in is counted from 1, as people count."""
    match = re.match(r"\.area\[(\d+)\]\.?(.*)", path)
    place = f"{file}, area {int(match[1]) + 1}" if match else file
    field = match[2] if match else path.lstrip(".")
    stop = "" if sentence.endswith(("?", ".")) else "."
    return Problem(place=place, sentence=f"{field} {sentence}{stop}".lstrip(), field=field or None)
