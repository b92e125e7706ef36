"""Monday: trims round both areas, every corner and lap photographed."""

from __future__ import annotations

from collections.abc import Sequence

from qa.demo.calendar import BANDAGE_DAY, NELL, TAM, TRIMS_DAY
from qa.demo.diary import About, Diary
from qa.demo.opening import MAIN, PORCH, THE_MAIN_ROOF, THE_PORCH
from qa.demo.readings import measure, observe, sign_off
from qa.demo.supplies import ADHESIVE, TAPE
from qa.photos.drawn import Edge, EdgeKind, Subject, TrimOverlap, Weather
from qa.record.kinds.papers import Note
from qa.record.kinds.place import Area
from qa.record.kinds.supplies import Unit, Usage
from qa.trade.vocabulary import EdgeKind as RoofEdge
from qa.trade.vocabulary import Stage

MAIN_OVERLAP_MM, PORCH_OVERLAP_MM = 60, 55
_BATTENS = {RoofEdge.DRIP_EDGE: 2, RoofEdge.RAISED_EDGE: 1}

_OUTER, _INNER = Edge(kind=EdgeKind.EXTERNAL_CORNER), Edge(kind=EdgeKind.INTERNAL_CORNER)
_Told = tuple[str, Subject, str, About]

_MAIN_EDGES: tuple[_Told, ...] = (
    ("11:05", Edge(kind=EdgeKind.DRIP_EDGE), "Drip edge, two battens behind it",
     About(area=MAIN, edge="eaves")),
    ("11:12", Edge(kind=EdgeKind.RAISED_EDGE), "Raised edge, one batten",
     About(area=MAIN, edge="east")),
    ("11:19", Edge(kind=EdgeKind.WALL_FILLET), "Fillet bedded along the bricks",
     About(area=MAIN, edge="kitchen wall")),
    ("11:27", Edge(kind=EdgeKind.FLASHING), "Flashing tried in its chase",
     About(area=MAIN, edge="hall wall")),
)  # fmt: skip

_MAIN_CORNERS: tuple[_Told, ...] = (
    ("13:31", _OUTER, "Corner eaves to east, mitre closed", About(area=MAIN)),
    ("13:34", _OUTER, "Corner east to the kitchen wall", About(area=MAIN)),
    ("13:37", _INNER, "Inside corner where the two walls meet", About(area=MAIN)),
    ("13:40", _OUTER, "Corner hall wall to north", About(area=MAIN)),
    ("13:44", _OUTER, "Corner north to west", About(area=MAIN)),
    ("13:47", _OUTER, "Corner west to eaves", About(area=MAIN)),
)

_PORCH_EDGES: tuple[_Told, ...] = (
    ("15:02", Edge(kind=EdgeKind.DRIP_EDGE), "Drip edge at the front",
     About(area=PORCH, edge="front")),
    ("15:05", Edge(kind=EdgeKind.RAISED_EDGE), "Raised edge, nailed at 140",
     About(area=PORCH, edge="porch right")),
    ("15:08", Edge(kind=EdgeKind.WALL_FILLET), "Fillet at the house wall",
     About(area=PORCH, edge="porch wall")),
)  # fmt: skip

_PORCH_CORNERS: tuple[_Told, ...] = (
    ("15:12", _OUTER, "Corner, front right", About(area=PORCH)),
    ("15:14", _OUTER, "Corner, right side to the wall", About(area=PORCH)),
    ("15:17", _OUTER, "Corner, wall to left side", About(area=PORCH)),
    ("15:19", _OUTER, "Corner, front left", About(area=PORCH)),
)


def trim_the_edges(diary: Diary) -> None:
    """The whole stage; one answer reaches the ledger the next morning only."""
    diary.day, diary.stage, diary.weather = TRIMS_DAY, Stage.TRIMS, Weather.SUN
    _measure_edges(diary, ("10:35", "10:37"), NELL, THE_MAIN_ROOF)
    _photograph(diary, NELL, _MAIN_EDGES)
    _overlap(diary, "11:35", NELL, MAIN, MAIN_OVERLAP_MM)
    _photograph(diary, TAM, _MAIN_CORNERS)
    observe(diary, "13:52", NELL, "trims.perimeter_complete", area=MAIN)
    observe(diary, "13:53", NELL, "trims.line", area=MAIN, note="String-lined on every side.")
    _measure_edges(diary, ("14:41", "14:43"), TAM, THE_PORCH)
    _photograph(diary, TAM, _PORCH_EDGES)
    _photograph(diary, TAM, _PORCH_CORNERS)
    _overlap(diary, "15:25", TAM, PORCH, PORCH_OVERLAP_MM)
    observe(diary, "15:32", TAM, "trims.perimeter_complete", area=PORCH)
    _line_of_the_porch(diary)
    for area, cartridges in ((MAIN, 4), (PORCH, 1)):
        usage = Usage(stage=Stage.TRIMS, area=area, lot=ADHESIVE, used=cartridges, unit=Unit.PIECE)
        diary.write("15:44", NELL, usage)
    sign_off(diary, "15:55", "Trims on all the way round both areas, laps glued, lines straight.")


def _measure_edges(diary: Diary, clocks: Sequence[str], by: str, roof: Area) -> None:
    """Battens edge by edge, then what holds for the whole area."""
    area = roof.area
    for edge in roof.edges:
        if edge.kind in _BATTENS:
            battens = _BATTENS[edge.kind]
            measure(diary, clocks[0], by, "trims.battens", battens, "1", area=area, edge=edge.edge)
        if edge.kind is RoofEdge.DRIP_EDGE:
            measure(
                diary, clocks[1], by, "trims.batten_offset", 10, "mm", area=area, edge=edge.edge,
                instrument=TAPE,
            )  # fmt: skip
    measure(diary, clocks[1], by, "trims.fixing_centres", 140, "mm", area=area, instrument=TAPE)


def _photograph(diary: Diary, by: str, told: Sequence[_Told]) -> None:
    for clock, subject, caption, about in told:
        diary.photograph(clock, by, subject, caption, about)


def _overlap(diary: Diary, clock: str, by: str, area: str, overlap_mm: int) -> None:
    """One lap, measured and photographed while its adhesive can be seen."""
    measure(diary, clock, by, "trims.overlap", overlap_mm, "mm", area=area, instrument=TAPE)
    measure(diary, clock, by, "trims.adhesive_beads", 2, "1", area=area)
    diary.photograph(
        clock,
        by,
        TrimOverlap(overlap_mm=overlap_mm, beads=2),
        f"Lap before it closes: {overlap_mm} mm, two beads",
        About(area=area, check="trims.overlap"),
    )


def _line_of_the_porch(diary: Diary) -> None:
    """The late entry: Tam's phone was flat, so what he saw on Monday came in on Tuesday."""
    with diary.arriving(BANDAGE_DAY, "07:34"):
        observe(
            diary,
            "15:38",
            TAM,
            "trims.line",
            area=PORCH,
            note="Sighted along the string. Phone flat at the time, sent the next morning.",
        )
    diary.day = BANDAGE_DAY
    diary.write(
        "07:40",
        TAM,
        Note(
            stage=Stage.TRIMS,
            area=PORCH,
            text="The porch line of yesterday, 15:38, is in now: my phone had died.",
        ),
    )
    diary.day = TRIMS_DAY
