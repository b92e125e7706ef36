"""A job of two areas for the handover pack's tests, all of it invented, with everything in it.

One mix outside and put right, one thin patch accepted, one fault still open, a defect repaired, a
rain interruption, a correction, a late entry, photographs before and after; and empty or broken
variants of it.
"""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta
from pathlib import Path

from PIL import Image, ImageDraw

from qa.assess.assessment import assess
from qa.packs.source import PackPhoto, PackSource
from qa.record.job import fold
from qa.record.reading import Record
from qa.record.sealing import Arrival, seal
from qa.specification.loader import built_in, built_in_path
from tests.factories import SUMMER_TIME, RecordBuilder, photo_file, salts

AREAS = ("main", "porch")
DECK_YES = (
    "deck.board",
    "deck.dry",
    "deck.fixing_type",
    "deck.joints_staggered",
    "deck.laid_across_joists",
    "deck.wider_groove_up",
)
DECK_MEASURED = (
    ("deck.board_thickness", 18, "mm"),
    ("deck.moisture", 14.5, "%"),
    ("deck.expansion_gap", 26, "mm"),
    ("deck.fixing_centres", 190, "mm"),
    ("deck.fixings_across_board", 4, "1"),
    ("deck.fixing_penetration", 45, "mm"),
    ("deck.offcut_length", 520, "mm"),
    ("deck.offcut_joists", 3, "1"),
)


def day(date: int, clock: str = "08:00") -> datetime:
    """A moment of May 2026 on the site."""
    hour, minute = map(int, clock.split(":"))
    return datetime(2026, 5, date, hour, minute, tzinfo=SUMMER_TIME)


def opened(**job: object) -> RecordBuilder:
    """A record with its two areas and its lots."""
    defaults = {
        "title": "Rear extension and porch (invented)",
        "firm": {
            "name": "An Invented Roofing Firm",
            "address": "2 Invented Yard, Exampleton",
            "phone": "01632 960001",
            "email": "office@firm.example",
        },
    }
    builder = RecordBuilder.equipped(start=day(11, "07:30"), **(defaults | job))
    builder.entries[1]["body"] |= {"outlets_m": [[5.5, 0.2]], "name": "Extension"}
    builder.add(
        "area",
        area="porch",
        name="Porch",
        outline_m=[[0, 0], [2.4, 0], [2.4, 1.5], [0, 1.5]],
        edges=[
            {"edge": "porch-front", "kind": "drip_edge", "length_m": 2.4},
            {"edge": "porch-right", "kind": "raised_edge", "length_m": 1.5},
            {"edge": "porch-wall", "kind": "wall_fillet", "length_m": 2.4},
            {"edge": "porch-left", "kind": "raised_edge", "length_m": 1.5},
        ],
    )
    return builder


DENTED = (
    *([x, 0, 0.0] for x in (0, 2, 4, 6)),
    *([x, 1.5, z] for x, z in ((0, 0.026), (2, 0.025), (4, -0.012), (6, 0.024))),
    *([x, 4, z] for x, z in ((0, 0.068), (2, 0.069), (4, 0.068), (6, 0.067))),
)
"""Levels of the extension: 1:60 to the eaves, and a hollow of 12 mm before them."""


def survey_and_deck(builder: RecordBuilder) -> None:
    """The first two stages, complete on both areas."""
    for area in AREAS:
        builder.add(
            "measurement", stage="survey", check="survey.fall", value=14, unit="mm/m", area=area
        )
        builder.add(
            "measurement",
            stage="survey",
            check="survey.joist_centres",
            value=400,
            unit="mm",
            area=area,
        )
        for check in ("joists_sound", "ventilation", "walls_and_gutters"):
            builder.add("observation", stage="survey", check=f"survey.{check}", area=area)
        builder.add("observation", stage="survey", check="survey.back_fall", result="no", area=area)
    builder.add("photo", stage="survey", caption="The whole roof before work")
    builder.add("photo", stage="survey", area="main", caption="The joists, open")
    builder.add("sign_off", stage="survey", statement="Timbers sound, falls measured.")
    for area in AREAS:
        for check in DECK_YES:
            builder.add("observation", stage="deck", check=check, area=area)
        for check, value, unit in DECK_MEASURED:
            builder.add("measurement", stage="deck", check=check, value=value, unit=unit, area=area)
    for check, caption in (
        ("deck.fixing_centres", "Fixing pattern with a tape in view"),
        ("deck.expansion_gap", "Gap at the wall, 26 mm"),
    ):
        for area in AREAS:
            builder.add("photo", stage="deck", check=check, area=area, caption=caption)
            builder.add("photo", stage="deck", area=area, caption="A run of boards")
    builder.add("sign_off", stage="deck", statement="Deck done and dry.")
    builder.add("sign_off", stage="deck", decision="released", statement="Seen, dry, released.")


def trims_and_bandage(builder: RecordBuilder) -> None:
    """Edges fitted, joints covered; the corner strips were not measured."""
    builder.clock = day(12, "08:00")
    for area in AREAS:
        for check, value, unit in (
            ("trims.fixing_centres", 140, "mm"),
            ("trims.overlap", 55, "mm"),
            ("trims.adhesive_beads", 2, "1"),
        ):
            builder.add(
                "measurement", stage="trims", check=check, value=value, unit=unit, area=area
            )
        builder.add("observation", stage="trims", check="trims.perimeter_complete", area=area)
        builder.add("observation", stage="trims", check="trims.line", area=area)
    builder.add("photo", stage="trims", area="main", edge="eaves", caption="Drip edge, two battens")
    builder.add("photo", stage="trims", area="main", edge="wall", caption="Fillet at the wall")
    builder.add(
        "photo", stage="trims", area="porch", edge="porch-front", caption="Porch, drip edge"
    )
    builder.add("sign_off", stage="trims", statement="Edges straight and complete.")
    builder.clock = day(12, "10:30")
    builder.add("conditions", stage="bandage", deck_c=15, air_c=16, humidity_pct=60, rain=False)
    for area in AREAS:
        builder.add(
            "mix",
            stage="bandage",
            area=area,
            kg=2,
            catalyst_ml=60,
            deck_c=15,
            stirred_before_s=40,
            stirred_after_s=45,
            emptied_at=day(12, "11:05").isoformat(),
        )
        builder.add("observation", stage="bandage", check="bandage.joints_covered", area=area)
        builder.add("observation", stage="bandage", check="bandage.wet_out", area=area)
    for number in range(3):
        builder.add(
            "photo",
            stage="bandage",
            area="main",
            caption=f"Corner {number + 1} before it is covered",
        )
    builder.add("sign_off", stage="bandage", statement="All joints covered.")
    builder.add("sign_off", stage="bandage", decision="released", statement="Joints seen.")


def laminate(builder: RecordBuilder) -> None:
    """The wet day: rain, a weak mix laid again, dry patches, pinholes sealed."""
    builder.clock = day(13, "08:00")
    bays = {"main": [f"r{row}b{number}" for row in range(1, 6) for number in range(1, 7)]}
    builder.add("conditions", deck_c=14.5, air_c=15, humidity_pct=64, rain=False)
    shares = [bays["main"][:2], bays["main"][2:12], bays["main"][12:20], bays["main"][20:]]
    doses = (90, 285, 95, 330)
    masses = (3.0, 9.5, 9.5, 11.0)
    for number, (share, dose, kg) in enumerate(zip(shares, doses, masses, strict=True)):
        if number == 2:
            builder.clock = day(13, "10:40")
            builder.add(
                "interruption",
                cause="rain",
                from_=day(13, "09:20").isoformat(),
                until=day(13, "10:30").isoformat(),
                area="main",
                bays=["r2b6"],
                protection="Sheeted over; the edge was dried with cloths",
            )
            builder.add("conditions", deck_c=15.4, air_c=16, humidity_pct=78, rain=False)
        builder.add(
            "mix",
            area="main",
            bays=share,
            kg=kg,
            catalyst_ml=dose,
            deck_c=15,
            stirred_before_s=40,
            stirred_after_s=50,
            by="ines" if number % 2 else "tom",
        )
    builder.add(
        "nonconformity",
        check="mix.dose",
        subject="mix-5",
        description="Mix 5 got a third of its hardener: the measuring cup was misread.",
    )
    builder.add(
        "photo", nonconformity=1, area="main", bay="r3b1", caption="Still soft after two hours"
    )
    builder.add(
        "disposition",
        nonconformity=1,
        reason="Soft laminate must not be covered. Strip it and lay it again.",
    )
    again = builder.add(
        "mix",
        area="main",
        bays=shares[2],
        kg=9.5,
        catalyst_ml=285,
        deck_c=15,
        stirred_before_s=40,
        stirred_after_s=50,
    )
    builder.add(
        "photo", nonconformity=1, area="main", bay="r3b1", caption="Laid again, clear and hard"
    )
    builder.add(
        "closure",
        nonconformity=1,
        statement="Laid again with the right dose; hard after four hours.",
        entries=[again],
    )
    builder.clock = day(13, "14:00")
    for bay in bays["main"]:
        builder.add(
            "examination", area="main", bay=bay, pinholes=3 if bay == "r2b3" else 0, passes=5
        )
        if bay.endswith("b2"):
            builder.add(
                "photo",
                area="main",
                bay=bay,
                check="laminate.wet_out",
                caption="Clear from edge to edge",
            )
    builder.add("photo", area="main", bay="r2b3", caption="Three pinholes, ringed")
    builder.add("examination", area="main", bay="r2b3", passes=5, after_repair=True)
    builder.add("photo", area="main", bay="r2b3", caption="Pinholes sealed")
    builder.add("usage", area="main", used=42.0, wasted=4.0)
    builder.add(
        "mix",
        area="porch",
        kg=5.5,
        catalyst_ml=165,
        deck_c=15.4,
        stirred_before_s=40,
        stirred_after_s=50,
    )
    builder.add("photo", lot="resin-1", caption="Batch label of the resin")
    builder.add("photo", lot="catalyst-1", caption="Batch label of the hardener")
    builder.add("sign_off", stage="laminate", statement="Laminate hard, no strands up.")
    builder.add("sign_off", stage="laminate", decision="released", statement="Every square seen.")


def topcoat_and_completion(builder: RecordBuilder) -> None:
    """A thin topcoat that was accepted, a flashing still open, a late photograph."""
    builder.clock = day(14, "08:30")
    builder.add("conditions", stage="topcoat", deck_c=13, air_c=14, humidity_pct=70, rain=False)
    for check in ("laminate_cured", "sanded", "wiped", "coverage"):
        for area in AREAS:
            builder.add("observation", stage="topcoat", check=f"topcoat.{check}", area=area)
    builder.add(
        "mix",
        stage="topcoat",
        lot="topcoat-1",
        area="main",
        kg=7.4,
        catalyst_ml=148,
        deck_c=13,
        stirred_before_s=45,
        stirred_after_s=70,
    )
    builder.add(
        "mix",
        stage="topcoat",
        lot="topcoat-1",
        area="porch",
        kg=1.4,
        catalyst_ml=28,
        deck_c=13,
        stirred_before_s=45,
        stirred_after_s=70,
    )
    builder.add(
        "nonconformity",
        stage="topcoat",
        check="topcoat.consumption",
        area="main",
        description="Topcoat a little thin on the extension.",
    )
    builder.add(
        "disposition",
        nonconformity=2,
        decision="concession",
        reason="Cover is even and closed to the eye; the firm adds a year to its next look.",
        authority="The client, by letter of 14 May.",
        limit="The extension alone.",
    )
    builder.add(
        "photo",
        stage="topcoat",
        area="main",
        nonconformity=2,
        caption="Topcoat, even in raking light",
    )
    builder.add("photo", stage="topcoat", area="main", caption="Topcoat on, seen from the ladder")
    builder.add("sign_off", stage="topcoat", statement="Topcoat on.")
    builder.add(
        "sign_off", stage="topcoat", decision="released", statement="Accepted, see fault 2."
    )
    builder.clock = day(16, "09:00")
    builder.add("measurement", stage="completion", check="completion.dry_hours", value=26, unit="h")
    for check in ("cured", "edges_clean", "site_clean"):
        for area in AREAS:
            builder.add("observation", stage="completion", check=f"completion.{check}", area=area)
    builder.add(
        "observation",
        stage="completion",
        check="completion.flashings",
        area="main",
        result="no",
        note="Two metres of flashing on order.",
    )
    builder.add("observation", stage="completion", check="completion.flashings", area="porch")
    builder.add(
        "nonconformity",
        stage="completion",
        check="completion.flashings",
        area="main",
        description="Two metres of flashing at the wall are missing; ordered.",
    )
    for caption in (
        "The finished roof from the south",
        "The finished roof from the garden",
        "The outlet, clear",
    ):
        builder.add("photo", stage="completion", area="main", caption=caption)
    builder.add("sign_off", stage="completion", statement="Done but for the flashing.")


def whole_job(**job: object) -> RecordBuilder:
    """The job with all of it."""
    builder = opened(crew=CREW, **job)
    survey_and_deck(builder)
    trims_and_bandage(builder)
    laminate(builder)
    topcoat_and_completion(builder)
    return builder


CREW = [
    {"person": "ines", "name": "Ines Invented", "role": "installer"},
    {"person": "tom", "name": "Tom Invented", "role": "installer"},
    {"person": "mara", "name": "Mara Invented", "role": "supervisor"},
]


def sealed_with_a_late_entry(builder: RecordBuilder) -> Record:
    """The record as a ledger took it in; the second photograph came two days late."""
    entries = builder.record().entries
    photos = [entry for entry in entries if entry.kind == "photo"]
    return seal(
        [
            (
                entry,
                Arrival(
                    received_at=(
                        entry.at
                        + (timedelta(hours=50) if entry is photos[1] else timedelta(minutes=2))
                    ).astimezone(UTC),
                    device=None,
                ),
            )
            for entry in entries
        ],
        photos={entry.body.file: photo_file(entry.body.file) for entry in photos},
        new_salt=salts(),
    )


def source_of(record: Record, photos: Path | None = None) -> PackSource:
    """What a pack of a record is made from.

    Args:
        record: the record.
        photos: folder for drawn print copies; None for photographs without a picture.
    """
    job = fold(record)
    specification = built_in(job.opening.body.specification)
    return PackSource(
        record=record,
        job=job,
        specification=specification,
        specification_bytes=built_in_path(specification.name).read_bytes(),
        assessment=assess(job, specification),
        photos={
            photo.body.file: pack_photo(photo.body.file, photo.body.caption or "", photos)
            for photo in job.photos
        },
        program="Laidtrue 0",
    )


def pack_photo(file: str, caption: str, folder: Path | None) -> PackPhoto:
    """A photograph with a drawn print copy, or without any."""
    path = None if folder is None else drawn(folder / Path(file).name, caption)
    return PackPhoto(
        file=file,
        sha256=hashlib.sha256(file.encode()).hexdigest(),
        print_copy=path,
        taken_at=None,
        camera=None,
        width_px=4032,
        height_px=3024,
    )


def drawn(path: Path, caption: str) -> Path:
    """A grey picture with its caption, so that no two are alike."""
    picture = Image.new("RGB", (400, 300), (150, 156, 150))
    pen = ImageDraw.Draw(picture)
    pen.text((20, 140), f"{path.stem} {caption}"[:60], fill="white")
    picture.save(path, "JPEG", quality=70)
    return path
