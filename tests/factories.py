"""Records for tests, written entry by entry with fixed ids and times.

    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", deck_c=13.0, air_c=14.5, humidity_pct=62)
    mix = builder.add("mix", at="08:50", kg=5.0, catalyst_ml=150)
    builder.add("correction", corrects=mix, body=minimal("mix") | {"kg": 4.5})
    job = builder.job()

What a call leaves out comes from `tests.examples`, so that a test names only what it is about.
"""

from __future__ import annotations

import base64
import copy
import hashlib
import json
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from qa.record.canonical import canonical_json
from qa.record.folder import write_folder
from qa.record.job import Job, fold
from qa.record.reading import Record, read_record
from qa.record.sealing import Arrival, PhotoFile, seal
from tests.examples import minimal

Written = dict[str, Any]

SUMMER_TIME = timezone(timedelta(hours=1))
FIRST_MORNING = datetime(2026, 5, 12, 7, 0, tzinfo=SUMMER_TIME)
BETWEEN_ENTRIES = timedelta(minutes=5)

LOTS: tuple[Written, ...] = (
    {"lot": "resin-1"},
    {
        "lot": "topcoat-1",
        "material": "topcoat",
        "product": "Topcoat, grey",
        "batch_number": "T 0311",
        "quantity": 15,
    },
    {
        "lot": "catalyst-1",
        "material": "catalyst",
        "product": "Catalyst, medium reactivity",
        "batch_number": "C 88",
        "quantity": 2,
        "density_g_per_ml": 1.18,
    },
    {
        "lot": "mat-1",
        "material": "mat",
        "product": "Chopped strand mat 450",
        "batch_number": "M 7",
        "quantity": 30,
        "unit": "m2",
    },
)
INSTRUMENTS: tuple[Written, ...] = (
    {"instrument": "thermometer"},
    {"instrument": "hygrometer", "name": "Hygrometer", "measures": "relative humidity"},
    {"instrument": "scale", "name": "Platform scale", "measures": "mass"},
)


class RecordBuilder:
    """A record in the making; every entry gets the next id and, if none is given, the next time.

    Attributes:
        entries: the entries so far, as JSON objects; a test may break them as it likes.
        clock: the stated time of the next entry that gives none.
    """

    def __init__(self, *, start: datetime = FIRST_MORNING, series: int = 0) -> None:
        """Begins an empty record.

        Args:
            start: stated time of the first entry.
            series: sets the ids of this record apart from those of another; 0 to 65535.
        """
        self.entries: list[Written] = []
        self.clock = start
        self._series = series

    @classmethod
    def opened(
        cls, *, start: datetime = FIRST_MORNING, series: int = 0, **job: Any
    ) -> RecordBuilder:
        """A record with its first entry, `job`; `job` changes fields of that entry's body."""
        builder = cls(start=start, series=series)
        builder.add("job", **job)
        return builder

    @classmethod
    def equipped(
        cls, *, start: datetime = FIRST_MORNING, series: int = 0, **job: Any
    ) -> RecordBuilder:
        """A record with its job, the area `main` (6 m × 4 m), `INSTRUMENTS` and `LOTS`."""
        builder = cls.opened(start=start, series=series, **job)
        builder.add("area")
        for instrument in INSTRUMENTS:
            builder.add("instrument", **instrument)
        for lot in LOTS:
            builder.add("lot", **lot)
        return builder

    def add(
        self, kind: str, *, at: datetime | str | None = None, by: str | None = None, **fields: Any
    ) -> str:
        """Adds an entry and answers its id.

        Args:
            kind: its kind's word.
            at: stated time; "08:40" is a time of the clock's day, any other text stands as it is.
            by: the person; by default a supervisor where the kind asks for one, else an installer.
            fields: fields of the body that differ from `minimal(kind)`; `...` leaves one out, and
                `from_` stands for `from`. Keys, photo files and numbers count up by themselves, and
                marks stand on the last photo.
        """
        body = minimal(kind) | self._numbered(kind)
        for name, value in fields.items():
            body[name.rstrip("_")] = value
        body = {name: value for name, value in body.items() if value is not ...}
        identifier = self.id_of(len(self.entries))
        self.entries.append(
            {
                "id": identifier,
                "kind": kind,
                "at": self._stated(at),
                "by": _default_person(kind, body) if by is None else by,
                "body": copy.deepcopy(body),
            }
        )
        return identifier

    def wait(self, **span: float) -> None:
        """Moves the clock on, by `hours=3` and the like."""
        self.clock += timedelta(**span)

    def id_of(self, place: int) -> str:
        """The id of the entry at `place`, from 0."""
        return f"0196b1c2-{self._series:04x}-7000-8000-{place + 1:012x}"

    def text(self) -> str:
        """`record.jsonl` as a person would write it: plain values, one entry a line."""
        return jsonl(self.entries)

    def record(self) -> Record:
        """The record as it reads back, without a chain."""
        return read_record(self.text())

    def sealed(
        self,
        *,
        delay: timedelta = timedelta(minutes=1),
        photos: Mapping[str, PhotoFile] | None = None,
        device: str | None = None,
    ) -> Record:
        """The record as a ledger takes it in.

        Args:
            delay: from the stated time of each entry to its arrival.
            photos: facts of the photo files; by default invented from their names.
            device: the device that sent the entries.
        """
        entries = self.record().entries
        return seal(
            [
                (e, Arrival(received_at=(e.at + delay).astimezone(UTC), device=device))
                for e in entries
            ],
            photos={name: photo_file(name) for name in self.photo_names()} | dict(photos or {}),
            new_salt=salts(),
        )

    def job(self) -> Job:
        """The job that the record tells."""
        return fold(self.record())

    def write(self, folder: Path) -> Path:
        """Writes a job folder with a small file for each photo, and answers its path."""
        originals = folder.parent / f"{folder.name}-originals"
        originals.mkdir(parents=True)
        named = self.photo_names()
        for name in named:
            (originals / Path(name).name).write_bytes(photo_bytes(name))
        photos = [(name, originals / Path(name).name) for name in named]
        write_folder(self.record(), photos, folder)
        return folder

    def photo_names(self) -> list[str]:
        """The photo files that entries and their corrections name, in the order of the alphabet."""
        bodies = [entry["body"] for entry in self.entries]
        bodies += [body["body"] for body in bodies if body.get("body")]
        return sorted({body["file"] for body in bodies if "file" in body})

    def _numbered(self, kind: str) -> Written:
        """The fields that count up: this is the n-th entry of its kind."""
        number = 1 + sum(entry["kind"] == kind for entry in self.entries)
        photos = [entry["id"] for entry in self.entries if entry["kind"] == "photo"]
        numbered: dict[str, Written] = {
            "mix": {"mix": f"mix-{number}"},
            "photo": {"file": f"photos/{number:03}.jpg"},
            "nonconformity": {"number": number},
            "lot": {"lot": f"lot-{number}"},
            "instrument": {"instrument": f"instrument-{number}"},
            "annotation": {"photo": photos[-1]} if photos else {},
        }
        return numbered.get(kind, {})

    def _stated(self, at: datetime | str | None) -> str:
        if isinstance(at, str) and len(at) == len("08:40"):
            hour, minute = map(int, at.split(":"))
            at = self.clock.replace(hour=hour, minute=minute, second=0, microsecond=0)
        if isinstance(at, str):
            return at
        self.clock = at or self.clock
        stated = self.clock.isoformat()
        self.clock += BETWEEN_ENTRIES
        return stated


def jsonl(objects: list[Written]) -> str:
    """One object a line, as a person's tool would write them."""
    return "".join(json.dumps(item, ensure_ascii=False) + "\n" for item in objects)


def canonical_jsonl(objects: list[Written]) -> str:
    """One object a line in canonical form, as an export writes them."""
    return "".join(canonical_json(item).decode() + "\n" for item in objects)


def photo_bytes(name: str) -> bytes:
    """Bytes that stand for an original; no picture."""
    return f"not a picture: {name}".encode()


def photo_file(name: str) -> PhotoFile:
    """What a ledger would note of `photo_bytes(name)`."""
    content = photo_bytes(name)
    return PhotoFile(
        sha256=hashlib.sha256(content).hexdigest(), bytes=len(content), media_type="image/jpeg"
    )


def salts() -> Callable[[], str]:
    """A source of salts that are the same in every run, for tests only."""
    drawn = 0

    def new_salt() -> str:
        nonlocal drawn
        drawn += 1
        random_bytes = hashlib.sha256(f"salt {drawn}".encode()).digest()[:16]
        return base64.urlsafe_b64encode(random_bytes).decode().rstrip("=")

    return new_salt


def _default_person(kind: str, body: Written) -> str:
    supervises = kind == "disposition" or body.get("decision") in ("released", "refused")
    return "mara" if supervises else "ines"
