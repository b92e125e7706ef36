"""Who and where: the invented firm, its client, and a roof of two areas that cannot exist."""

from __future__ import annotations

from qa.demo.calendar import NELL, ORLA, SURVEY_DAY, TAM
from qa.demo.diary import SITE, Diary
from qa.photos.drawn import RoofShape, Weather
from qa.record.kinds.parties import Client, Firm, Opening, Person, Role, Site
from qa.record.kinds.place import Area, Edge, RoofBuildUp, Upstand
from qa.trade.vocabulary import EdgeKind, Stage

MAIN, PORCH = "main", "porch"
AREAS = (MAIN, PORCH)

CREW = (
    Person(
        person=NELL,
        name="Nell Sample",
        role=Role.INSTALLER,
        competence="Laminator, eleven years (invented)",
    ),
    Person(
        person=TAM,
        name="Tam Example",
        role=Role.INSTALLER,
        competence="Laminator, second year (invented)",
    ),
    Person(
        person=ORLA,
        name="Orla Specimen",
        role=Role.SUPERVISOR,
        competence="Releases stages, decides on faults (invented)",
    ),
)

THE_JOB = Opening(
    job="DEMO-2026-05",
    title="Demonstration job (invented): flat roof, porch",
    specification="general-grp/1",
    time_zone="Europe/London",
    firm=Firm(
        name="Level & Lap Flat Roofing (an invented firm)",
        address="Unit 0, Nowhere Yard, Exampleton XX0 0XX",
        phone="01632 960101",
        email="office@level-and-lap.example",
    ),
    client=Client(name="Alma Placeholder", email="alma@home.example", phone="01632 960145"),
    site=Site(
        address="0 Nonesuch Row, Exampleton XX0 0XY (no such place)",
        latitude_deg=SITE.latitude_deg,
        longitude_deg=SITE.longitude_deg,
    ),
    crew=CREW,
)

_MAIN_OUTLINE = ((0.0, 0.0), (6.65, 0.0), (6.65, 2.9), (3.8, 2.9), (3.8, 4.8), (0.0, 4.8))
_PORCH_OUTLINE = ((0.0, 0.0), (2.85, 0.0), (2.85, 1.95), (0.0, 1.95))

_STAFF_AT_M = (0.0, 1.3, 2.55, 3.8, 5.2, 6.65)
_MAIN_LEVELS_MM = (
    (0.0, (1, 0, 0, 0, 0, 1)),
    (0.95, (16, 17, 16, 0, -2, 15)),
    (1.95, (34, 33, 34, 33, 33, 33)),
    (2.9, (50, 50, 49, 50, 49, 50)),
    (3.85, (66, 65, 66, 66)),
    (4.8, (82, 82, 83, 82)),
)
"""Staff readings along x in lines up the roof: 1:57 to the eaves, and a dish before the outlet."""

MAIN_SHAPE = RoofShape(outline_m=_MAIN_OUTLINE, walls=frozenset({2, 3}))
PORCH_SHAPE = RoofShape(outline_m=_PORCH_OUTLINE, walls=frozenset({2}))

THE_MAIN_ROOF = Area(
    area=MAIN,
    name="Main roof",
    outline_m=_MAIN_OUTLINE,
    edges=(
        Edge(edge="eaves", kind=EdgeKind.DRIP_EDGE, length_m=6.65),
        Edge(edge="east", kind=EdgeKind.RAISED_EDGE, length_m=2.9),
        Edge(edge="kitchen wall", kind=EdgeKind.WALL_FILLET, length_m=2.85),
        Edge(edge="hall wall", kind=EdgeKind.FLASHING, length_m=1.9),
        Edge(edge="north", kind=EdgeKind.RAISED_EDGE, length_m=3.8),
        Edge(edge="west", kind=EdgeKind.RAISED_EDGE, length_m=4.8),
    ),
    mat_g_per_m2=450,
    slope_deg=1.0,
    upstands=(Upstand(length_m=4.75, height_m=0.15),),
    levels_m=tuple(
        (x_m, y_m, round(height_mm * 1e-3, 3))
        for y_m, heights_mm in _MAIN_LEVELS_MM
        for x_m, height_mm in zip(_STAFF_AT_M, heights_mm, strict=False)
    ),
    outlets_m=((5.9, 0.0),),
    roof_build_up=RoofBuildUp.WARM,
)

THE_PORCH = Area(
    area=PORCH,
    name="Porch",
    outline_m=_PORCH_OUTLINE,
    edges=(
        Edge(edge="front", kind=EdgeKind.DRIP_EDGE, length_m=2.85),
        Edge(edge="porch right", kind=EdgeKind.RAISED_EDGE, length_m=1.95),
        Edge(edge="porch wall", kind=EdgeKind.WALL_FILLET, length_m=2.85),
        Edge(edge="porch left", kind=EdgeKind.RAISED_EDGE, length_m=1.95),
    ),
    mat_g_per_m2=450,
    slope_deg=1.0,
    upstands=(Upstand(length_m=2.85, height_m=0.15),),
    roof_build_up=RoofBuildUp.COLD,
)

ROOFS = (THE_MAIN_ROOF, THE_PORCH)


def open_the_job(diary: Diary) -> None:
    """Opens the record with the job and its two areas."""
    diary.day, diary.stage, diary.weather = SURVEY_DAY, Stage.SURVEY, Weather.OVERCAST
    diary.write("09:05", ORLA, THE_JOB)
    for roof in ROOFS:
        diary.write("09:07", ORLA, roof)
