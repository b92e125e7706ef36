"""What the wet work takes: bandage, mat, resin, topcoat, and the catalyst for both.

The resin of the laminate is reckoned by the same function that consumption is judged by, so an
order and a verdict can never rest on two expectations.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from qa.errors import DomainError
from qa.trade.boards import board_need
from qa.trade.catalyst import DoseChart
from qa.trade.consumption import expected_laminate_resin_kg_per_m2
from qa.trade.edges import upstand_area_m2
from qa.trade.laminate import bandage_resin_kg, resin_for_mat_kg_per_m2
from qa.trade.mat import mat_need
from qa.trade.notation import number_text, quantity_text
from qa.trade.order_dry import counted, overlaps_of
from qa.trade.ordering import AreaToLay, Item, OrderLine, OrderRates, Portion


def wet_lines(
    areas: Sequence[AreaToLay], rates: OrderRates, *, deck_c: float
) -> Iterator[OrderLine]:
    """Yield what the wet work on the areas takes, in the order of the work.

    Args:
        areas: the areas.
        rates: the rates.
        deck_c: deck temperature that the catalyst is reckoned for, °C, inside both charts.

    Raises:
        DomainError: the temperature lies outside a chart, or a rate outside its range.

    Source: the functions of `mat`, `laminate`, `consumption` and `catalyst`; the rates are the
    specification's.
    """
    bandage = _bandage(areas, rates)
    yield bandage
    yield from _mats(areas, rates)
    resin = _resin(areas, rates, bandage_m=bandage.need)
    topcoat = _topcoat(areas, rates)
    yield resin
    yield topcoat
    yield _catalyst(resin, topcoat, rates, deck_c=deck_c)


def _bandage(areas: Sequence[AreaToLay], rates: OrderRates) -> OrderLine:
    return OrderLine(
        item=Item.BANDAGE,
        detail=f"{number_text(rates.bandage_width_mm)} mm, "
        f"{quantity_text(rates.bandage_g_per_m2, 'g/m2')}",
        unit="m",
        portions=tuple(portion for area in areas for portion in _joints(area, rates)),
        waste_pct=rates.bandage_waste_pct,
        sizes=rates.bandage_rolls_m,
        rests_on=(
            "bandage_width_mm",
            "bandage_g_per_m2",
            "bandage.corner_strip",
            "bandage_waste_pct",
            "bandage_rolls_m",
        ),
    )


def _joints(area: AreaToLay, rates: OrderRates) -> Iterator[Portion]:
    """Yield the joints of an area: of boards, of boards with trims, of trims and corners."""
    need = board_need(
        area.roof,
        board_length_m=rates.board_length_m,
        board_width_m=rates.board_width_m,
        shortest_piece_m=rates.shortest_piece_mm / 1000.0,
        angle_deg=area.angle_deg,
    )
    boards_m = need.row_joint_m + need.end_joint_m
    yield Portion(
        part="joints of boards",
        area=area.name,
        quantity=boards_m,
        reckoning=f"{quantity_text(need.row_joint_m, 'm')} between rows, "
        f"{quantity_text(need.end_joint_m, 'm')} at {counted(need.end_joints, 'board end')}",
    )
    round_m = area.roof.perimeter_m + area.roof.opening_edge_m
    yield Portion(
        part="joints round the deck",
        area=area.name,
        quantity=round_m,
        reckoning=f"{quantity_text(area.roof.perimeter_m, 'm')} of outline, "
        f"{quantity_text(area.roof.opening_edge_m, 'm')} of openings",
    )
    overlaps, corners = overlaps_of(area, rates), len(area.roof.outline.points_m)
    strip_mm = number_text(rates.corner_strip_mm)
    yield Portion(
        part="overlaps and corners of trims",
        area=area.name,
        quantity=(overlaps + corners) * rates.corner_strip_mm / 1000.0,
        reckoning=f"{counted(overlaps, 'overlap')} and {corners} corners × {strip_mm} mm",
    )


def _mats(areas: Sequence[AreaToLay], rates: OrderRates) -> Iterator[OrderLine]:
    for mass in sorted({area.mat_g_per_m2 for area in areas}):
        of_mass = [area for area in areas if area.mat_g_per_m2 == mass]
        yield OrderLine(
            item=Item.MAT,
            detail=f"{quantity_text(mass, 'g/m2')}, {quantity_text(rates.mat_width_m, 'm')} wide",
            unit="m",
            portions=tuple(part for area in of_mass for part in _mat_portions(area, rates)),
            waste_pct=rates.mat_waste_pct,
            sizes=rates.mat_rolls_m,
            rests_on=("mat_width_m", "mat_overlap_m", "mat_waste_pct", "mat_rolls_m"),
        )


def _mat_portions(area: AreaToLay, rates: OrderRates) -> Iterator[Portion]:
    need = mat_need(
        area.roof,
        mat_width_m=rates.mat_width_m,
        mat_overlap_m=rates.mat_overlap_m,
        angle_deg=area.angle_deg,
    )
    layers = "" if area.layers == 1 else f"{area.layers} layers of "
    yield Portion(
        area=area.name,
        quantity=need.length_m * area.layers,
        reckoning=f"{layers}{counted(need.strips, 'strip')}, {quantity_text(need.length_m, 'm')}; "
        f"{number_text(need.waste_pct, 2)} % goes into overlaps and offcuts",
    )
    if area.upstands:
        upstands_m2 = upstand_area_m2(area.upstands, lap_m=rates.mat_overlap_m)
        yield Portion(
            part="upstands",
            area=area.name,
            quantity=upstands_m2 / rates.mat_width_m * area.layers,
            reckoning=f"{layers}{quantity_text(upstands_m2, 'm2')}, lapped onto the field by "
            f"{number_text(rates.mat_overlap_m * 1000)} mm",
        )


def _resin(areas: Sequence[AreaToLay], rates: OrderRates, *, bandage_m: float) -> OrderLine:
    bandage_kg = bandage_resin_kg(
        length_m=bandage_m,
        width_mm=rates.bandage_width_mm,
        bandage_g_per_m2=rates.bandage_g_per_m2,
        resin_to_glass=rates.resin_to_glass,
    )
    bandages = Portion(
        part="bandages",
        quantity=bandage_kg,
        reckoning=f"{quantity_text(bandage_m, 'm')} × {number_text(rates.bandage_width_mm)} mm × "
        f"{quantity_text(rates.bandage_g_per_m2, 'g/m2')} × {number_text(rates.resin_to_glass)}",
    )
    laid = tuple(portion for area in areas for portion in _laminate(area, rates))
    return OrderLine(
        item=Item.RESIN,
        unit="kg",
        portions=(*laid, bandages),
        waste_pct=rates.resin_waste_pct,
        sizes=rates.resin_tins_kg,
        rests_on=(
            "resin_to_glass",
            "deck_uptake_kg_per_m2",
            "mat_overlap_m",
            "bandage_width_mm",
            "bandage_g_per_m2",
            "liquid_resin_g_per_ml",
            "resin_waste_pct",
            "resin_tins_kg",
        ),
        density_g_per_ml=rates.liquid_resin_g_per_ml,
    )


def _laminate(area: AreaToLay, rates: OrderRates) -> Iterator[Portion]:
    """Yield the resin of the laminate, which is judged later, and that of doubled mat."""
    rate = expected_laminate_resin_kg_per_m2(
        mat_g_per_m2=area.mat_g_per_m2,
        layers=area.layers,
        resin_to_glass=rates.resin_to_glass,
        deck_uptake_kg_per_m2=rates.deck_uptake_kg_per_m2,
    )
    yield Portion(
        part="laminate",
        area=area.name,
        quantity=rate * area.laid_m2,
        reckoning=f"{quantity_text(rate, 'kg/m2')} on {quantity_text(area.laid_m2, 'm2')}",
    )
    doubled = mat_need(
        area.roof,
        mat_width_m=rates.mat_width_m,
        mat_overlap_m=rates.mat_overlap_m,
        angle_deg=area.angle_deg,
    )
    per_layer = resin_for_mat_kg_per_m2(
        mat_g_per_m2=area.mat_g_per_m2, resin_to_glass=rates.resin_to_glass
    )
    yield Portion(
        part="overlaps of mat",
        area=area.name,
        quantity=per_layer * area.layers * doubled.overlap_m2,
        reckoning=f"{quantity_text(per_layer * area.layers, 'kg/m2')} on "
        f"{quantity_text(doubled.overlap_m2, 'm2')}",
    )


def _topcoat(areas: Sequence[AreaToLay], rates: OrderRates) -> OrderLine:
    return OrderLine(
        item=Item.TOPCOAT,
        unit="kg",
        portions=tuple(
            Portion(
                area=area.name,
                quantity=rates.topcoat_kg_per_m2 * area.laid_m2,
                reckoning=f"{quantity_text(rates.topcoat_kg_per_m2, 'kg/m2')} on "
                f"{quantity_text(area.laid_m2, 'm2')}",
            )
            for area in areas
        ),
        waste_pct=rates.topcoat_waste_pct,
        sizes=rates.topcoat_tins_kg,
        rests_on=(
            "topcoat_kg_per_m2",
            "liquid_topcoat_g_per_ml",
            "topcoat_waste_pct",
            "topcoat_tins_kg",
        ),
        density_g_per_ml=rates.liquid_topcoat_g_per_ml,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Dosed:
    """A material and the chart that doses it."""

    line: OrderLine
    chart: DoseChart


def _catalyst(
    resin: OrderLine, topcoat: OrderLine, rates: OrderRates, *, deck_c: float
) -> OrderLine:
    dosed = (
        _Dosed(line=resin, chart=rates.resin_dose),
        _Dosed(line=topcoat, chart=rates.topcoat_dose),
    )
    return OrderLine(
        item=Item.CATALYST,
        unit="ml",
        portions=tuple(_dose(one, deck_c) for one in dosed),
        waste_pct=rates.catalyst_waste_pct,
        sizes=rates.catalyst_bottles_ml,
        rests_on=("resin_dose", "topcoat_dose", "catalyst_waste_pct", "catalyst_bottles_ml"),
    )


def _dose(dosed: _Dosed, deck_c: float) -> Portion:
    """Return the catalyst for all that is ordered, for what is wasted has been mixed too."""
    row = dosed.chart.row_at(deck_c)
    if row is None:
        first, last = dosed.chart.rows[0], dosed.chart.rows[-1]
        chart = f"{first.from_c:g} to {last.to_c:g}, for outside the chart nothing is mixed"
        raise DomainError("expected deck temperature, °C", f"{deck_c:g}", chart)
    kg, dose = dosed.line.ordered, row.target_ml_per_kg
    return Portion(
        part=dosed.line.item.value,
        quantity=kg * dose,
        reckoning=f"{quantity_text(kg, 'kg')} × {quantity_text(dose, 'ml/kg')} at "
        f"{quantity_text(deck_c, '°C')}",
    )
