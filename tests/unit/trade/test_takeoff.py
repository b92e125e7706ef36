"""The take-off against worked examples, and against what consumption is judged by."""

from __future__ import annotations

import dataclasses
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.assess.consumption import expected_kg_per_m2
from qa.assess.frame import frame_of
from qa.errors import DomainError
from qa.specification.loader import built_in
from qa.specification.order_rates import order_rates, sources_of
from qa.trade.edges import EdgeLength, Turnup
from qa.trade.ordering import AreaToLay, Item, OrderLine, TakeOff
from qa.trade.outline import Outline, RoofArea
from qa.trade.takeoff import take_off
from qa.trade.vocabulary import EdgeKind, Stage
from tests.factories import RecordBuilder
from tests.unit.trade.outlines import L_SHAPE, concave_roofs, rectangle, turned_roof

GENERAL = built_in("general-grp/1")
RATES = order_rates(GENERAL)
GARAGE = AreaToLay(
    name="Garage",
    roof=rectangle(6.0, 4.0),
    edges=(
        EdgeLength(kind=EdgeKind.DRIP_EDGE, length_m=6.0),
        EdgeLength(kind=EdgeKind.RAISED_EDGE, length_m=4.0),
        EdgeLength(kind=EdgeKind.RAISED_EDGE, length_m=4.0),
        EdgeLength(kind=EdgeKind.WALL_FILLET, length_m=6.0),
    ),
    upstands=(Turnup(length_m=6.0, height_m=0.15),),
    mat_g_per_m2=450.0,
)


def line(order: TakeOff, item: Item) -> OrderLine:
    (found,) = (one for one in order.lines if one.item is item)
    return found


def needs(order: TakeOff) -> dict[str, float]:
    return {f"{one.item.value} {one.detail}": one.need for one in order.lines}


def test_three_layers_take_the_published_resin() -> None:
    """A supplier's laminating guide: 3 x 600 g over 1 m² is 4.5 kg of resin, deck apart."""
    square = AreaToLay(
        name="Square", roof=rectangle(1.0, 1.0), edges=(), mat_g_per_m2=600.0, layers=3
    )
    rates = replace(RATES, deck_uptake_kg_per_m2=0.0)
    portions = line(take_off([square], rates, deck_c=15.0), Item.RESIN).portions
    assert {one.part: one.quantity for one in portions}["laminate"] == pytest.approx(4.5)


@pytest.mark.parametrize(("mat", "kg_per_m2"), [(450.0, 1.5), (600.0, 1.875)])
def test_laminate_takes_the_published_site_figure(mat: float, kg_per_m2: float) -> None:
    """A supplier's page: 1.5 kg/m² over 450 g/m²; 600 g/m² by the same rule."""
    order = take_off([replace(GARAGE, mat_g_per_m2=mat)], RATES, deck_c=15.0)
    laminate = line(order, Item.RESIN).portions[0]
    assert laminate.quantity == pytest.approx(kg_per_m2 * 24.9)


def test_order_rests_on_what_is_judged_later() -> None:
    """The expectation of the assessment, area by area, is the order's portion of laminate."""
    job = RecordBuilder.equipped().job()
    frame = frame_of(job, GENERAL)
    for area in frame.areas.values():
        to_lay = AreaToLay(
            name=area.body.name,
            roof=area.roof,
            edges=(),
            upstands=tuple(
                Turnup(length_m=one.length_m, height_m=one.height_m)
                for one in area.body.upstands or ()
            ),
            mat_g_per_m2=area.body.mat_g_per_m2,
            layers=area.body.layers or 1,
        )
        order = take_off([to_lay], RATES, deck_c=15.0)
        resin, topcoat = line(order, Item.RESIN), line(order, Item.TOPCOAT)
        for stage, ordered in (
            (Stage.LAMINATE, resin.portions[0].quantity),
            (Stage.TOPCOAT, topcoat.need),
        ):
            expected = expected_kg_per_m2(frame, stage, area) * area.laid_m2
            assert ordered == pytest.approx(expected, rel=1e-12)


def test_garage_is_taken_off_as_by_hand() -> None:
    """6 m x 4 m worked by hand with the general figures at 12 °C: 40 and 20 ml/kg."""
    order = take_off([GARAGE], RATES, deck_c=12.0)
    assert needs(order) == pytest.approx(
        {
            "board 2400 × 590 mm, 18 mm thick": 18,  # 7 rows of 2.5 boards
            "deck_fixing 58 mm or longer": 436,  # 16 joists of 4 m: 109 crossings of 4
            "batten ": 20,  # 2 x 6 m and 1 x 8 m
            "trim drip edge, 3 m": 3,
            "trim raised edge, 3 m": 4,
            "trim wall fillet, 3 m": 3,
            "trim_fixing ": 138,  # 41 + 28 + 28 + 41
            "adhesive ": 180,  # 6 overlaps of 30 ml
            "bandage 75 mm, 450 g/m²": 36 + 14 * 0.59 - 2 * 0.13 + 20 + 10 * 0.15,
            "mat 450 g/m², 1 m wide": 31.2,  # 5 strips of 6 m; 6 m x 0.20 m of upstand
            "resin ": 37.35 + 1.35 + 65.5 * 0.075 * 0.45 * 2.5,
            "topcoat ": 9.96,
            "catalyst ": 1.05 * (44.2265625 * 40 + 9.96 * 20),
        },
        abs=0.05,
    )


def test_order_is_need_and_waste_in_whole_containers() -> None:
    resin = line(take_off([GARAGE], RATES, deck_c=12.0), Item.RESIN)
    assert resin.ordered == pytest.approx(resin.need * 1.05)
    assert [(tin.count, tin.size) for tin in resin.containers] == [(2, 20.0), (1, 10.0)]


@pytest.mark.parametrize(
    ("deck_c", "resin_ml_per_kg"), [(5.0, 40), (12.9, 40), (13.0, 30), (16.0, 20), (35.0, 10)]
)
def test_catalyst_follows_the_expected_temperature(deck_c: float, resin_ml_per_kg: float) -> None:
    """Supplier's published dose chart, medium-reactivity MEKP, 5 to 35 °C."""
    order = take_off([GARAGE], RATES, deck_c=deck_c)
    of_resin = line(order, Item.CATALYST).portions[0]
    assert of_resin.quantity == pytest.approx(line(order, Item.RESIN).ordered * resin_ml_per_kg)


@pytest.mark.parametrize("deck_c", [4.9, 35.1, float("nan")])
def test_nothing_is_ordered_for_outside_the_chart(deck_c: float) -> None:
    with pytest.raises(DomainError, match="outside the chart nothing is mixed"):
        take_off([GARAGE], RATES, deck_c=deck_c)


def test_measured_joists_replace_the_assumed_ones() -> None:
    wide = replace(GARAGE, joist_centres_m=0.6)
    order = take_off([wide], RATES, deck_c=12.0)
    assert line(order, Item.DECK_FIXING).need == 75 * 4  # 11 joists of 4 m over 0.59 m


def test_lines_without_a_need_are_left_out() -> None:
    bare = AreaToLay(name="Bare", roof=rectangle(2.0, 2.0), edges=(), mat_g_per_m2=450.0)
    items = {one.item for one in take_off([bare], RATES, deck_c=12.0).lines}
    assert not items & {Item.TRIM, Item.TRIM_FIXING, Item.ADHESIVE, Item.BATTEN}


@given(roof=concave_roofs(), angle_deg=st.floats(-180.0, 180.0))
def test_liquids_do_not_depend_on_the_point_of_view(roof: RoofArea, angle_deg: float) -> None:
    """Bandage and overlaps of mat may: where a row ends is a matter of rounding."""
    there = [AreaToLay(name="", roof=roof, edges=(), mat_g_per_m2=450.0)]
    here = [replace(there[0], roof=turned_roof(roof, angle_deg))]
    topcoats = [line(take_off(a, RATES, deck_c=15.0), Item.TOPCOAT).need for a in (there, here)]
    assert topcoats[0] == pytest.approx(topcoats[1], rel=1e-9)


@given(share=st.floats(0.1, 0.9))
def test_laminate_and_topcoat_add_over_areas(share: float) -> None:
    cut = 6.0 * share
    parts = [
        replace(GARAGE, roof=rectangle(length_m, 4.0), edges=(), upstands=())
        for length_m in (cut, 6.0 - cut)
    ]
    whole = take_off([replace(GARAGE, edges=(), upstands=())], RATES, deck_c=15.0)
    both = take_off(parts, RATES, deck_c=15.0)
    for item, part in ((Item.RESIN, "laminate"), (Item.TOPCOAT, "")):
        sums = [
            sum(one.quantity for one in line(order, item).portions if one.part == part)
            for order in (whole, both)
        ]
        assert sums[1] == pytest.approx(sums[0], rel=1e-9)


def test_mats_of_several_masses_are_ordered_apart() -> None:
    heavy = replace(GARAGE, name="Balcony", roof=RoofArea(outline=L_SHAPE), mat_g_per_m2=600.0)
    order = take_off([GARAGE, heavy], RATES, deck_c=12.0)
    mats = [one.detail for one in order.lines if one.item is Item.MAT]
    assert mats == ["450 g/m², 1 m wide", "600 g/m², 1 m wide"]
    assert order.areas == 2


def test_every_line_is_traced_to_its_sources() -> None:
    for one in take_off([GARAGE], RATES, deck_c=12.0).lines:
        for name in one.rests_on:
            assert all(sourced.source for sourced in sources_of(GENERAL, name))
    with pytest.raises(KeyError):
        sources_of(GENERAL, "no_such_figure")


def test_rates_are_the_figures_of_the_specification() -> None:
    assert RATES.fixing_centres_mm == GENERAL.checks["deck.fixing_centres"].limits.upper
    assert RATES.trim_overlap_mm == GENERAL.checks["trims.overlap"].limits.lower
    assert RATES.resin_to_glass == GENERAL.figures.resin_to_glass.value
    assert RATES.resin_tins_kg == GENERAL.planning.resin_tins_kg.values
    assert all(getattr(RATES, field.name) is not None for field in dataclasses.fields(RATES))


def test_roof_without_an_area_is_refused() -> None:
    with pytest.raises(DomainError, match="number of areas"):
        take_off([], RATES, deck_c=15.0)


def test_opening_is_neither_laid_nor_coated() -> None:
    light = Outline(points_m=((1, 1), (2, 1), (2, 2.2), (1, 2.2)))
    lit = replace(GARAGE, roof=replace(GARAGE.roof, openings=(light,)))
    plain, pierced = (take_off([area], RATES, deck_c=15.0) for area in (GARAGE, lit))
    less_m2 = plain.laid_m2 - pierced.laid_m2
    assert less_m2 == pytest.approx(1.2)
    less_kg = line(plain, Item.TOPCOAT).need - line(pierced, Item.TOPCOAT).need
    assert less_kg == pytest.approx(0.4 * 1.2)


def test_liquids_are_told_in_litres_too() -> None:
    """A maker's published density of liquid resin: 1.13 g/ml."""
    resin = line(take_off([GARAGE], RATES, deck_c=12.0), Item.RESIN)
    assert resin.supplied_l == pytest.approx(50.0 / 1.13)
    assert line(take_off([GARAGE], RATES, deck_c=12.0), Item.MAT).supplied_l is None


def test_what_is_taken_for_granted_is_said() -> None:
    (joists,) = take_off([GARAGE], RATES, deck_c=12.0).remarks
    assert joists == "Garage: the joists were not measured; 400 mm are taken."
    measured = replace(GARAGE, joist_centres_m=0.6)
    assert take_off([measured], RATES, deck_c=12.0).remarks == ()
    (edges,) = take_off([replace(measured, edges=GARAGE.edges[:1])], RATES, deck_c=12.0).remarks
    assert "no trims are ordered for the other 14 m" in edges
