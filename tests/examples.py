"""One full and one minimal body of every kind of entry, as the format describes them.

The bodies agree with each other: they speak of the area `main`, of the lots and instruments that
`tests.factories.RecordBuilder.equipped` registers, and of nonconformity 1. All of it is invented.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

Body = dict[str, Any]

SOME_ID = "0196b1c2-0000-7000-8000-000000000001"
"""The id that a `RecordBuilder` gives its first entry, which is the job's."""

SOME_PHOTO = "0196b1c2-0000-7000-8000-000000000004"
"""The id that a `RecordBuilder` gives its fourth entry, a photo where it is marked."""

SOME_SHA256 = "5d41402abc4b2a76b9719d911017c592" * 2

_LINE = [[0.25, 0.2], [0.5, 0.75]]
_MAIN = [[0, 0], [6, 0], [6, 4], [0, 4]]
_EDGES = [
    {"edge": "eaves", "kind": "drip_edge", "length_m": 6},
    {"edge": "right", "kind": "raised_edge", "length_m": 4},
    {"edge": "wall", "kind": "wall_fillet", "length_m": 6},
    {"edge": "left", "kind": "flashing", "length_m": 4},
]

_MINIMAL: Mapping[str, Body] = {
    "job": {
        "job": "J-2026-014",
        "title": "Garage roof",
        "specification": "general-grp/1",
        "time_zone": "Europe/London",
        "firm": {"name": "An Invented Roofing Firm"},
        "client": {"name": "A. Client"},
        "site": {"address": "1 Invented Lane"},
        "crew": [
            {"person": "ines", "name": "Ines Invented", "role": "installer"},
            {"person": "mara", "name": "Mara Invented", "role": "supervisor"},
        ],
    },
    "area": {
        "area": "main",
        "name": "Main roof",
        "outline_m": _MAIN,
        "edges": _EDGES,
        "mat_g_per_m2": 450,
    },
    "instrument": {
        "instrument": "thermometer",
        "name": "Surface thermometer",
        "measures": "deck temperature",
    },
    "lot": {
        "lot": "resin-1",
        "material": "resin",
        "product": "Roofing resin",
        "batch_number": "R 1204",
        "quantity": 60,
        "unit": "kg",
    },
    "conditions": {"stage": "laminate", "deck_c": 14},
    "measurement": {"stage": "deck", "check": "deck.moisture", "value": 14.5, "unit": "%"},
    "observation": {"stage": "deck", "check": "deck.dry", "result": "yes"},
    "mix": {
        "mix": "mix-1",
        "stage": "laminate",
        "area": "main",
        "lot": "resin-1",
        "kg": 5,
        "catalyst_lot": "catalyst-1",
        "catalyst_ml": 150,
        "deck_c": 14,
    },
    "usage": {"stage": "laminate", "area": "main", "lot": "resin-1", "used": 36.5, "unit": "kg"},
    "examination": {
        "area": "main",
        "bay": "r1b1",
        "wet_out": "transparent",
        "pinholes": 0,
        "trapped_air": 0,
        "examined_m2": 1,
    },
    "photo": {"file": "photos/001.jpg", "stage": "laminate"},
    "interruption": {
        "stage": "laminate",
        "cause": "rain",
        "from": "2026-05-12T10:00:00+01:00",
        "protection": "Sheeted over",
    },
    "sign_off": {"stage": "deck", "decision": "complete", "statement": "Deck done and dry."},
    "nonconformity": {"number": 1, "stage": "laminate", "description": "Dry patch in bay r2b3."},
    "disposition": {"nonconformity": 1, "decision": "rework", "reason": "Cut out and lay again."},
    "closure": {"nonconformity": 1, "statement": "Laid again, transparent.", "entries": []},
    "correction": {"corrects": SOME_ID, "reason": "Title mistyped.", "body": None},
    "erasure": {
        "disclosures": [{"entry": SOME_ID, "field": "/client/name"}],
        "reason": "The client asked for it.",
    },
    "note": {"text": "Neighbour told of the smell."},
    "handover": {"to": "The owner", "documents": []},
    "inspection": {"finding": "Sound, no cracks."},
    "annotation": {"photo": SOME_PHOTO, "marks": [{"type": "arrow", "points": _LINE}]},
}

_ADDED: Mapping[str, Body] = {
    "job": {
        "firm": {
            "name": "An Invented Roofing Firm",
            "address": "2 Invented Yard",
            "phone": "01632 960001",
            "email": "office@firm.example",
        },
        "client": {
            "name": "A. Client",
            "email": "client@home.example",
            "phone": "01632 960002",
        },
        "site": {"address": "1 Invented Lane", "latitude_deg": 54.5, "longitude_deg": -1.25},
        "crew": [
            {
                "person": "ines",
                "name": "Ines Invented",
                "role": "installer",
                "competence": "Laminating course 2024",
            },
            {"person": "mara", "name": "Mara Invented", "role": "supervisor"},
        ],
    },
    "area": {
        "openings_m": [[[2, 1], [3, 1], [3, 2], [2, 2]]],
        "slope_deg": 1.5,
        "upstands": [{"length_m": 4, "height_m": 0.15}],
        "layers": 2,
        "levels_m": [[0, 0, 0.1], [6, 0, 0.1], [6, 4, 0.2], [0, 4, 0.2]],
        "outlets_m": [[0, 0]],
        "roof_build_up": "warm",
    },
    "instrument": {
        "serial": "T-77",
        "calibrated_on": "2026-01-10",
        "calibration_due": "2027-01-10",
        "expanded_uncertainty": 0.5,
    },
    "lot": {"use_by": "2026-09-30", "density_g_per_ml": 1.1, "active_oxygen_pct": 9.1},
    "conditions": {
        "area": "main",
        "air_c": 14.5,
        "humidity_pct": 62,
        "moisture_pct": 13,
        "wind_m_per_s": 3.2,
        "rain": False,
        "instruments": ["thermometer", "hygrometer"],
    },
    "measurement": {
        "area": "main",
        "bay": "r1b2",
        "edge": "eaves",
        "instrument": "thermometer",
        "replaces": [SOME_ID],
    },
    "observation": {
        "result": "not_applicable",
        "reason": "There is no such joint on this roof.",
        "area": "main",
        "bay": "r1b2",
        "edge": "wall",
        "note": "Looked at twice.",
        "replaces": [SOME_ID],
    },
    "mix": {
        "bays": ["r1b1", "r1b2"],
        "air_c": 15.5,
        "stirred_before_s": 40,
        "stirred_after_s": 60,
        "emptied_at": "2026-05-12T09:20:00+01:00",
    },
    "usage": {"wasted": 0.8, "instrument": "scale"},
    "examination": {
        "opaque_cm2": 2.5,
        "passes": 4,
        "thickness_mm": [2.1, 1.9],
        "after_repair": True,
        "replaces": [SOME_ID],
    },
    "photo": {
        "caption": "Bay r1b1 while transparent",
        "check": "laminate.wet_out",
        "area": "main",
        "bay": "r1b1",
        "edge": "eaves",
        "lot": "resin-1",
        "mix": "mix-1",
        "nonconformity": 1,
        "sha256": SOME_SHA256,
        "bytes": 2_048_000,
        "media_type": "image/jpeg",
    },
    "interruption": {
        "area": "main",
        "until": "2026-05-12T12:30:00+01:00",
        "bays": ["r1b1"],
    },
    "sign_off": {},
    "nonconformity": {
        "check": "laminate.wet_out",
        "area": "main",
        "bay": "r2b3",
        "subject": "mix-1",
    },
    "disposition": {"authority": "The client, by letter", "limit": "Bay r2b3 alone"},
    "closure": {"entries": [SOME_ID]},
    "correction": {},
    "erasure": {"photos": [SOME_SHA256]},
    "note": {"stage": "laminate", "area": "main"},
    "handover": {"documents": [{"kind": "handover", "sha256": SOME_SHA256}]},
    "inspection": {"defect": False, "area": "main", "next_due": "2027-05-12"},
    "annotation": {
        "marks": [
            {"type": "measure", "points": _LINE, "words": "Crack", "length_mm": 120.5},
            {"type": "reference", "points": [[0.1, 0.9], [0.6, 0.9]], "length_mm": 300},
            {"type": "circle", "points": [[0.4, 0.4], [0.5, 0.6]]},
            {"type": "text", "points": [[1, 0]], "words": "Porch side"},
        ]
    },
}

KINDS = tuple(_MINIMAL)
"""The word of every kind, in the order in which the format lists them."""


def minimal(kind: str) -> Body:
    """A fresh body of `kind` with its required fields only."""
    return copy.deepcopy(_MINIMAL[kind])


def full(kind: str) -> Body:
    """A fresh body of `kind` with every field."""
    body = copy.deepcopy({**_MINIMAL[kind], **_ADDED[kind]})
    if kind == "correction":
        body["body"] = full("job")
    return body
