"""What the dry work takes: boards and their fixings, battens, trims, adhesive."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, fsum

from qa.trade.boards import board_need, joist_lines
from qa.trade.edges import EdgeLength, trim_needs
from qa.trade.fixings import fixing_length_mm, fixings_along
from qa.trade.notation import number_text, quantity_text
from qa.trade.ordering import AreaToLay, Item, OrderLine, OrderRates, Portion
from qa.trade.vocabulary import EdgeKind


def dry_lines(areas: Sequence[AreaToLay], rates: OrderRates) -> Iterator[OrderLine]:
    """Yield what the dry work on the areas takes, in the order of the work.

    Args:
        areas: the areas.
        rates: the rates.

    Raises:
        DomainError: a rate lies outside its range.

    Source: the functions of `boards`, `fixings` and `edges`; the rates are the specification's.
    """
    yield _boards(areas, rates)
    yield _deck_fixings(areas, rates)
    yield from _battens(areas, rates)
    yield from _trims(areas, rates)
    if any(area.edges for area in areas):
        yield _trim_fixings(areas, rates)
    if any(overlaps_of(area, rates) for area in areas):
        yield _adhesive(areas, rates)


def overlaps_of(area: AreaToLay, rates: OrderRates) -> int:
    """Return the number of overlaps of trim over trim round an area."""
    needs = trim_needs(
        area.edges,
        trim_length_m=rates.trim_length_m,
        overlap_m=rates.trim_overlap_mm / 1000.0,
    )
    return sum(need.overlaps for need in needs)


def _boards(areas: Sequence[AreaToLay], rates: OrderRates) -> OrderLine:
    portions = []
    for area in areas:
        need = board_need(
            area.roof,
            board_length_m=rates.board_length_m,
            board_width_m=rates.board_width_m,
            shortest_piece_m=rates.shortest_piece_mm / 1000.0,
            angle_deg=area.angle_deg,
        )
        reckoning = (
            f"{counted(need.rows, 'row')} on {quantity_text(need.net_m2, 'm2')}, offcuts used again"
        )
        portions.append(Portion(area=area.name, quantity=need.boards, reckoning=reckoning))
    size = f"{rates.board_length_m * 1000:.0f} × {rates.board_width_m * 1000:.0f}"
    return OrderLine(
        item=Item.BOARD,
        detail=f"{size} mm, {number_text(rates.board_mm)} mm thick",
        unit="1",
        portions=tuple(portions),
        waste_pct=rates.board_waste_pct,
        sizes=(1.0,),
        rests_on=(
            "board_length_m",
            "board_width_m",
            "deck.board_thickness",
            "deck.offcut_length",
            "board_waste_pct",
        ),
    )


def _deck_fixings(areas: Sequence[AreaToLay], rates: OrderRates) -> OrderLine:
    across = fixings_along(rates.board_width_m, centres_mm=rates.fixing_centres_mm)
    each = max(across, round(rates.fixings_across_board))
    portions = []
    for area in areas:
        centres_m = area.joist_centres_m or rates.joist_centres_m
        joists = joist_lines(area.roof, centres_m=centres_m, angle_deg=area.angle_deg)
        crossings = ceil(joists.length_m / rates.board_width_m - 1e-9)
        reckoning = (
            f"{joists.count} joists at {number_text(centres_m * 1000)} mm, "
            f"{quantity_text(joists.length_m, 'm')}: {crossings} crossings of {each}"
        )
        portions.append(Portion(area=area.name, quantity=crossings * each, reckoning=reckoning))
    length_mm = fixing_length_mm(
        board_mm=rates.board_mm,
        least_mm=rates.fixing_least_mm,
        thicknesses=rates.fixing_thicknesses,
        penetration_mm=rates.fixing_penetration_mm,
    )
    return OrderLine(
        item=Item.DECK_FIXING,
        detail=f"{number_text(length_mm)} mm or longer",
        unit="1",
        portions=tuple(portions),
        waste_pct=rates.fixing_waste_pct,
        sizes=rates.fixing_boxes,
        rests_on=(
            "joist_centres_m",
            "deck.fixing_centres",
            "deck.fixings_across_board",
            "deck.fixing_penetration",
            "fixing_least_mm",
            "fixing_thicknesses",
            "fixing_waste_pct",
            "fixing_boxes",
        ),
    )


def _battens(areas: Sequence[AreaToLay], rates: OrderRates) -> Iterator[OrderLine]:
    portions = []
    for batten in rates.battens:
        length_m = fsum(edge.length_m for edge in _edges(areas) if edge.kind is batten.kind)
        if length_m and batten.count:
            reckoning = f"{batten.count} × {quantity_text(length_m, 'm')}"
            part = edge_words(batten.kind)
            portions.append(
                Portion(part=part, quantity=batten.count * length_m, reckoning=reckoning)
            )
    if portions:
        yield OrderLine(
            item=Item.BATTEN,
            unit="m",
            portions=tuple(portions),
            waste_pct=rates.batten_waste_pct,
            sizes=(1.0,),
            rests_on=("battens", "batten_waste_pct"),
        )


def _trims(areas: Sequence[AreaToLay], rates: OrderRates) -> Iterator[OrderLine]:
    for need in trim_needs(
        _edges(areas),
        trim_length_m=rates.trim_length_m,
        overlap_m=rates.trim_overlap_mm / 1000.0,
    ):
        reckoning = (
            f"{quantity_text(need.length_m, 'm')} on {counted(need.edges, 'edge')}, "
            f"{counted(need.overlaps, 'overlap')}; "
            f"{number_text(need.waste_pct, 2)} % goes into overlaps and cut ends"
        )
        yield OrderLine(
            item=Item.TRIM,
            detail=f"{edge_words(need.kind)}, {quantity_text(rates.trim_length_m, 'm')}",
            unit="1",
            portions=(Portion(quantity=need.trims, reckoning=reckoning),),
            waste_pct=0.0,
            sizes=(1.0,),
            rests_on=("trim_length_m", "trims.overlap"),
        )


def _trim_fixings(areas: Sequence[AreaToLay], rates: OrderRates) -> OrderLine:
    portions = []
    for area in areas:
        fixings = sum(
            fixings_along(edge.length_m, centres_mm=rates.trim_fixing_centres_mm)
            for edge in area.edges
        )
        length_m = fsum(edge.length_m for edge in area.edges)
        reckoning = (
            f"{quantity_text(length_m, 'm')} of edge at "
            f"{number_text(rates.trim_fixing_centres_mm)} mm"
        )
        portions.append(Portion(area=area.name, quantity=fixings, reckoning=reckoning))
    return OrderLine(
        item=Item.TRIM_FIXING,
        unit="1",
        portions=tuple(portions),
        waste_pct=rates.fixing_waste_pct,
        sizes=rates.fixing_boxes,
        rests_on=("trims.fixing_centres", "fixing_waste_pct", "fixing_boxes"),
    )


def _adhesive(areas: Sequence[AreaToLay], rates: OrderRates) -> OrderLine:
    each_ml = rates.adhesive_ml_per_overlap
    portions = tuple(
        Portion(
            area=area.name,
            quantity=overlaps * each_ml,
            reckoning=f"{counted(overlaps, 'overlap')} × {quantity_text(each_ml, 'ml')}",
        )
        for area in areas
        if (overlaps := overlaps_of(area, rates))
    )
    return OrderLine(
        item=Item.ADHESIVE,
        unit="ml",
        portions=portions,
        waste_pct=rates.adhesive_waste_pct,
        sizes=rates.adhesive_cartridges_ml,
        rests_on=(
            "adhesive_ml_per_overlap",
            "trims.adhesive_beads",
            "adhesive_waste_pct",
            "adhesive_cartridges_ml",
        ),
    )


def _edges(areas: Sequence[AreaToLay]) -> tuple[EdgeLength, ...]:
    return tuple(edge for area in areas for edge in area.edges)


def edge_words(kind: EdgeKind) -> str:
    """Return a kind of edge as people write it: "drip edge"."""
    return kind.value.replace("_", " ")


def counted(count: int, thing: str) -> str:
    """Return a number of things as people write it.

    >>> counted(1, "overlap"), counted(2, "overlap")
    ('1 overlap', '2 overlaps')
    """
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"
