"""Valid bodies and whole valid records of every kind, drawn by Hypothesis.

What is drawn is the JSON of the format, wide enough to hold every sign and number that a record may
hold, and never anything that it may not.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from typing import Any

from hypothesis import strategies as st

from qa.record.kinds.marks import LONGEST_LENGTH_MM
from tests.examples import KINDS, Body
from tests.factories import RecordBuilder

STAGES = ("survey", "deck", "trims", "bandage", "laminate", "topcoat", "completion")
WET_STAGES = ("bandage", "laminate", "topcoat")

_visible = st.characters(categories=["L", "N", "P", "S"])
keys = st.text(_visible, min_size=1, max_size=8)
texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.just("\n"), max_size=20).map(
    lambda text: text + "é"
)
one_line = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=20).map(
    lambda text: text + "é"
)
bays = st.builds("r{}b{}".format, st.integers(1, 30), st.integers(1, 30))
sha256s = st.integers(0, 16**64 - 1).map("{:064x}".format)
uuids = st.uuids().map(str)
days = st.dates().map(str)
moments = st.datetimes(
    min_value=datetime(1971, 1, 1),  # noqa: DTZ001 - `timezones` adds the zone
    max_value=datetime(2199, 12, 31),  # noqa: DTZ001
    timezones=st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m))),
)
stages = st.sampled_from(STAGES)
numbers = st.integers(1, 1_000)
_NO_SLASH = str.maketrans("/\\", "__")
photo_files = keys.map(lambda key: f"photos/{key.translate(_NO_SLASH)}.jpg")


def between(low: float, high: float, *, above: bool = False) -> st.SearchStrategy[float]:
    """Numbers from `low` (left out with `above`) to `high`, whole ones written either way."""
    whole = st.integers(int(low) + above, int(high))
    return whole | whole.map(float) | st.floats(low, high, exclude_min=above)


def optional(**fields: st.SearchStrategy[Any]) -> dict[str, st.SearchStrategy[Any]]:
    """Fields that may be left out, `from_` and the like without their underscore."""
    return {name.rstrip("_"): strategy for name, strategy in fields.items()}


def some(values: st.SearchStrategy[Any], *, least: int = 1) -> st.SearchStrategy[list[Any]]:
    """Short lists."""
    return st.lists(values, min_size=least, max_size=3)


def persons(key: str) -> st.SearchStrategy[Body]:
    """A person of the crew under a given key."""
    return st.fixed_dictionaries(
        {
            "person": st.just(key),
            "name": texts,
            "role": st.sampled_from(["installer", "supervisor"]),
        },
        optional=optional(competence=texts),
    )


jobs = st.fixed_dictionaries(
    {
        "job": keys,
        "title": texts,
        "specification": st.sampled_from(["general-grp/1", "a-firm/27"]),
        "time_zone": st.sampled_from(["Europe/London", "UTC", "Asia/Kathmandu"]),
        "firm": st.fixed_dictionaries(
            {"name": texts}, optional=optional(address=texts, phone=texts, email=texts)
        ),
        "client": st.fixed_dictionaries(
            {"name": texts}, optional=optional(email=texts, phone=texts)
        ),
        "site": st.fixed_dictionaries(
            {"address": texts},
            optional=optional(latitude_deg=between(-90, 90), longitude_deg=between(-180, 180)),
        ),
        "crew": st.tuples(persons("ines"), persons("mara")).map(list),
    }
)


@st.composite
def areas(draw: st.DrawFn) -> Body:
    """An L-shaped area with an opening in its wider arm."""
    x, y = draw(st.floats(-100, 100)), draw(st.floats(-100, 100))
    length, height = draw(st.floats(3, 20)), draw(st.floats(3, 20))
    corners = [(0, 0), (1, 0), (1, 0.5), (0.5, 0.5), (0.5, 1), (0, 1)]
    hole = [(0.1, 0.1), (0.3, 0.1), (0.3, 0.3)]
    lengths = st.floats(0.1, 100)

    def placed(ring: list[tuple[float, float]]) -> list[list[float]]:
        return [[x + length * u, y + height * v] for u, v in ring]

    return draw(
        st.fixed_dictionaries(
            {
                "area": keys,
                "name": texts,
                "outline_m": st.just(placed(corners)),
                "edges": st.just(
                    [
                        {"edge": "eaves", "kind": "drip_edge", "length_m": length},
                        {"edge": "wall", "kind": "wall_fillet", "length_m": height},
                    ]
                ),
                "mat_g_per_m2": between(50, 2_000),
            },
            optional=optional(
                openings_m=st.just([placed(hole)]) | st.just([]),
                slope_deg=between(0, 60),
                upstands=some(
                    st.fixed_dictionaries({"length_m": lengths, "height_m": lengths}), least=0
                ),
                layers=st.integers(1, 10),
                levels_m=some(st.tuples(*[between(-50, 50)] * 3).map(list), least=0),
                outlets_m=some(st.tuples(*[between(-50, 50)] * 2).map(list), least=0),
                roof_build_up=st.sampled_from(["cold", "warm"]),
            ),
        )
    )


@st.composite
def interruptions(draw: st.DrawFn, area: st.SearchStrategy[str]) -> Body:
    """An interruption that ends no earlier than it begins, or not yet."""
    first, second = sorted([draw(moments), draw(moments)])
    return draw(
        st.fixed_dictionaries(
            {
                "stage": stages,
                "cause": st.sampled_from(["rain", "wind", "cold", "heat", "other"]),
                "from": st.just(first.isoformat()),
                "protection": texts,
            },
            optional=optional(area=area, until=st.just(second.isoformat()), bays=some(bays)),
        )
    )


@st.composite
def marks(draw: st.DrawFn) -> list[Body]:
    """Marks of one annotation; a measure without a length only beside a reference."""
    has_reference = draw(st.booleans())
    drawn = draw(st.lists(_mark(needs_length=not has_reference), max_size=4))
    if has_reference:
        length = draw(between(0, LONGEST_LENGTH_MM, above=True))
        drawn.append({"type": "reference", "points": draw(_ENDS), "length_mm": length})
    return drawn


def _mark(*, needs_length: bool) -> st.SearchStrategy[Body]:
    length: dict[str, st.SearchStrategy[Any]] = {
        "length_mm": between(0, LONGEST_LENGTH_MM, above=True)
    }
    said: dict[str, st.SearchStrategy[Any]] = {"words": one_line}
    measure: dict[str, st.SearchStrategy[Any]] = {"type": st.just("measure"), "points": _ENDS}
    shape: dict[str, st.SearchStrategy[Any]] = {
        "type": st.sampled_from(["arrow", "circle"]),
        "points": _ENDS,
    }
    text: dict[str, st.SearchStrategy[Any]] = {
        "type": st.just("text"),
        "points": st.lists(_POINT, min_size=1, max_size=1),
    }
    if needs_length:
        return st.one_of(
            st.fixed_dictionaries(measure | length, optional=said),
            st.fixed_dictionaries(shape, optional=said),
            st.fixed_dictionaries(text | said),
        )
    return st.one_of(
        st.fixed_dictionaries(measure, optional=length | said),
        st.fixed_dictionaries(shape, optional=said),
        st.fixed_dictionaries(text | said),
    )


_SHARE = between(0, 1)
_POINT = st.tuples(_SHARE, _SHARE).map(list)
_ENDS = st.tuples(_POINT, _POINT).filter(
    lambda ends: all(abs(ends[0][axis] - ends[1][axis]) > 0.001 for axis in (0, 1))
).map(list)  # fmt: skip


def bodies(
    kind: str,
    *,
    area: st.SearchStrategy[str] = keys,
    edge: st.SearchStrategy[str] = keys,
    lot: st.SearchStrategy[str] = keys,
    number: st.SearchStrategy[int] = numbers,
    entry: st.SearchStrategy[str] = uuids,
    photo: st.SearchStrategy[str] = uuids,
) -> st.SearchStrategy[Body]:
    """Bodies of a kind; the arguments say what it may refer to."""
    where = optional(area=area, bay=bays, edge=edge)
    again = optional(replaces=some(entry))
    other: dict[str, Callable[[], st.SearchStrategy[Body]]] = {
        "job": lambda: jobs,
        "area": areas,
        "interruption": lambda: interruptions(area),
        "correction": lambda: st.fixed_dictionaries(
            {"corrects": entry, "reason": texts, "body": st.none()}
        ),
    }
    if kind in other:
        return other[kind]()
    required, rest = {
        "instrument": (
            {"instrument": keys, "name": texts, "measures": texts},
            optional(
                serial=texts,
                calibrated_on=days,
                calibration_due=days,
                expanded_uncertainty=between(0, 100),
            ),
        ),
        "lot": (
            {
                "lot": keys,
                "material": st.sampled_from(["resin", "catalyst", "mat", "board"]),
                "product": texts,
                "batch_number": texts,
                "quantity": between(0, 1_000, above=True),
                "unit": st.sampled_from(["kg", "l", "m2", "m", "piece"]),
            },
            optional(
                use_by=days,
                density_g_per_ml=st.floats(0.5, 3),
                active_oxygen_pct=between(0, 30, above=True),
            ),
        ),
        "conditions": (
            {"stage": stages, "deck_c": between(-60, 100)},
            optional(
                area=area,
                air_c=between(-60, 60),
                humidity_pct=between(0, 100, above=True),
                moisture_pct=between(0, 200),
                wind_m_per_s=between(0, 120),
                rain=st.booleans(),
                instruments=some(keys),
            ),
        ),
        "measurement": (
            {"stage": stages, "check": keys, "value": between(-1e6, 1e6), "unit": keys},
            {**where, **again, **optional(instrument=keys)},
        ),
        "observation": (
            {
                "stage": stages,
                "check": keys,
                "result": st.sampled_from(["yes", "no", "not_applicable"]),
                "reason": texts,
            },
            {**where, **again, **optional(note=texts)},
        ),
        "mix": (
            {
                "mix": keys,
                "stage": st.sampled_from(WET_STAGES),
                "area": area,
                "lot": keys,
                "kg": between(0, 5_000, above=True),
                "catalyst_lot": keys,
                "catalyst_ml": between(0, 100_000),
                "deck_c": between(-60, 100),
            },
            optional(
                bays=some(bays),
                air_c=between(-60, 60),
                stirred_before_s=between(0, 86_400),
                stirred_after_s=between(0, 86_400),
                emptied_at=moments.map(datetime.isoformat),
            ),
        ),
        "usage": (
            {
                "stage": stages,
                "area": area,
                "lot": lot,
                "used": between(10, 1_000),
                "unit": st.sampled_from(["kg", "l", "m2", "m", "piece"]),
            },
            optional(wasted=between(0, 10), instrument=keys),
        ),
        "examination": (
            {
                "area": area,
                "bay": bays,
                "wet_out": st.sampled_from(["transparent", "white_patches", "dry"]),
                "pinholes": st.integers(0, 1_000),
                "examined_m2": between(0, 1e4, above=True),
            },
            optional(
                opaque_cm2=between(0, 1e6),
                trapped_air=st.integers(0, 1_000),
                passes=st.integers(0, 1_000),
                thickness_mm=some(between(0, 100, above=True)),
                after_repair=st.booleans(),
                replaces=some(entry),
            ),
        ),
        "photo": (
            {
                "file": photo_files,
                "stage": stages,
            },
            {
                **where,
                **optional(
                    caption=texts,
                    check=keys,
                    lot=keys,
                    mix=keys,
                    nonconformity=number,
                    sha256=sha256s,
                    bytes=st.integers(1, 2**40),
                    media_type=st.sampled_from(["image/jpeg", "image/heic"]),
                ),
            },
        ),
        "sign_off": (
            {
                "stage": stages,
                "decision": st.sampled_from(["complete", "released", "refused"]),
                "statement": texts,
            },
            {},
        ),
        "nonconformity": (
            {"number": st.integers(1, 1_000), "stage": stages, "description": texts},
            optional(check=keys, area=area, bay=bays, subject=keys),
        ),
        "disposition": (
            {
                "nonconformity": number,
                "decision": st.sampled_from(["rework", "concession", "reject"]),
                "reason": texts,
            },
            {},
        ),
        "closure": (
            {"nonconformity": number, "statement": texts, "entries": some(entry, least=0)},
            {},
        ),
        "erasure": (
            {
                "disclosures": some(
                    st.fixed_dictionaries({"entry": entry, "field": st.just("/client/name")})
                ),
                "reason": texts,
            },
            optional(photos=some(sha256s, least=0)),
        ),
        "note": ({"text": texts}, optional(stage=stages, area=area)),
        "handover": (
            {
                "to": texts,
                "documents": some(
                    st.fixed_dictionaries({"kind": keys, "sha256": sha256s}), least=0
                ),
            },
            {},
        ),
        "annotation": ({"photo": photo, "marks": marks()}, {}),
        "inspection": (
            {"finding": texts},
            optional(defect=st.booleans(), area=area, next_due=days),
        ),
    }[kind]
    return st.fixed_dictionaries(required, optional=rest)


_OWN_KEY = {
    "area": "area",
    "instrument": "instrument",
    "lot": "lot",
    "mix": "mix",
    "nonconformity": "number",
}
_FREE_KINDS = [kind for kind in KINDS if kind not in ("job", "area", "correction")]


@st.composite
def records(draw: st.DrawFn) -> RecordBuilder:
    """A whole valid record: a job, an area, a lot, then entries of any kind and corrections."""
    builder = RecordBuilder()
    taken: set[tuple[str, object]] = set()
    worlds: dict[str, st.SearchStrategy[Any]] = {}

    def add(kind: str, body: Body) -> None:
        key = (kind, body.get(_OWN_KEY.get(kind, "")))
        if kind in _OWN_KEY and key in taken:
            return
        taken.add(key)
        builder.add(kind, at=draw(moments).isoformat(), by=draw(st.sampled_from(["ines", "mara"])))
        builder.entries[-1]["body"] = body
        worlds["entry"] = st.sampled_from([entry["id"] for entry in builder.entries])

    add("job", draw(jobs))
    for kind in ("area", "lot", "nonconformity"):
        world = {"area": worlds["area"]} if kind == "nonconformity" else {}
        body = draw(bodies(kind, **world))
        add(kind, body)
        worlds["number" if kind == "nonconformity" else kind] = st.just(body[_OWN_KEY[kind]])
    worlds["edge"] = st.sampled_from(["eaves", "wall"])
    add("photo", draw(bodies("photo", **worlds)))
    worlds["photo"] = st.just(builder.entries[-1]["id"])
    for kind in draw(st.lists(st.sampled_from(_FREE_KINDS), max_size=8)):
        add(kind, draw(bodies(kind, **worlds)))
    for place in draw(st.lists(st.integers(0, len(builder.entries) - 1), max_size=3)):
        add("correction", draw(_corrections(builder.entries[place], worlds)))
    return builder


@st.composite
def _corrections(
    draw: st.DrawFn, corrected: Body, worlds: dict[str, st.SearchStrategy[Any]]
) -> Body:
    kind = corrected["kind"]
    new = draw(bodies(kind, **worlds))
    own_key = _OWN_KEY.get(kind)
    if own_key:
        new[own_key] = corrected["body"][own_key]
    may_be_withdrawn = kind not in ("job", "area", "lot", "nonconformity")
    withdrawn = may_be_withdrawn and draw(st.booleans())
    return {
        "corrects": corrected["id"],
        "reason": draw(texts),
        "body": None if withdrawn else new,
    }
