"""Boards of a deck, the joints between them, and the lines of the joists beneath.

Boards run along the strips' angle and joists across it, for boards are laid across joists.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, fsum

from qa.errors import DomainError
from qa.trade.clipping import chords
from qa.trade.domain import require_not_negative, require_positive
from qa.trade.outline import RoofArea
from qa.trade.strips import MOST_STRIPS, ROUNDING, Strip, StripFrame, lay_out_strips


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardNeed:
    """The boards for a roof area.

    Attributes:
        rows: number of rows of boards.
        boards: number of boards.
        board_m2: area that they cover, m².
        net_m2: area of the deck, m².
        end_joints: number of joints of board end to board end.
        end_joint_m: metres of joints across the rows, where boards end, m.
        row_joint_m: metres of joints between rows, m.
    """

    rows: int
    boards: int
    board_m2: float
    net_m2: float
    end_joints: int
    end_joint_m: float
    row_joint_m: float

    @property
    def waste_pct(self) -> float:
        """What is cut off, % of the deck."""
        return 100.0 * (self.board_m2 / self.net_m2 - 1.0)


def board_need(
    roof: RoofArea,
    *,
    board_length_m: float,
    board_width_m: float,
    shortest_piece_m: float,
    angle_deg: float = 0.0,
) -> BoardNeed:
    """Return the boards for a roof area, laid row by row.

    Each run begins with the piece that was cut off the last one, where that is long enough, which
    also staggers the joints, and goes on with whole boards. Openings are cut out and lost.

    Args:
        roof: the area; its outline is in plan.
        board_length_m: length that a board covers, m, above nought.
        board_width_m: width that a board covers without its tongue, m, above nought.
        shortest_piece_m: shortest piece that may be used, m, nought or more.
        angle_deg: angle from x to the boards, degrees, -180 to 180.

    Raises:
        DomainError: a figure lies outside its range.

    Source: practice of laying boards (common practice, no source).

    >>> from qa.trade.outline import Outline
    >>> roof = RoofArea(outline=Outline(points_m=((0, 0), (6, 0), (6, 2.36), (0, 2.36))))
    >>> need = board_need(roof, board_length_m=2.4, board_width_m=0.59, shortest_piece_m=0.4)
    >>> need.rows, need.boards, need.end_joints, round(need.row_joint_m, 6)
    (4, 10, 8, 18.0)
    """
    require_positive("length of a board, m", board_length_m)
    require_positive("width of a board, m", board_width_m)
    require_not_negative("shortest piece of board, m", shortest_piece_m)
    rows = lay_out_strips(roof, width_m=board_width_m, angle_deg=angle_deg)
    factor = roof.slope_factor
    lengths = [(to - start) * factor for row in rows for start, to in row.runs]
    widths = [row.high_m - row.low_m for row in rows for _ in row.runs]
    boards, joints = _cut(lengths, board_m=board_length_m, shortest_m=shortest_piece_m)
    return BoardNeed(
        rows=len(rows),
        boards=boards,
        board_m2=boards * board_length_m * board_width_m,
        net_m2=roof.net_area_m2,
        end_joints=sum(joints),
        end_joint_m=fsum(n * width_m for n, width_m in zip(joints, widths, strict=True)),
        row_joint_m=_row_joints_m(roof, rows, angle_deg=angle_deg) * factor,
    )


def _cut(
    lengths_m: Iterable[float], *, board_m: float, shortest_m: float
) -> tuple[int, tuple[int, ...]]:
    """Return the number of boards, and the number of joints in each run."""
    boards, left_m = 0, 0.0
    joints: list[int] = []
    for length_m in lengths_m:
        rest_m, pieces = length_m, 0
        if left_m >= min(shortest_m, length_m) and left_m > ROUNDING:
            rest_m, left_m, pieces = length_m - left_m, max(left_m - length_m, 0.0), 1
        if rest_m > ROUNDING:
            whole = ceil(rest_m / board_m - ROUNDING)
            boards += whole
            pieces += whole
            left_m = whole * board_m - rest_m
        joints.append(pieces - 1)
    return boards, tuple(joints)


def _row_joints_m(roof: RoofArea, rows: tuple[Strip, ...], *, angle_deg: float) -> float:
    rings = StripFrame.of(roof, angle_deg=angle_deg).rings
    return fsum(
        to - start for row in rows[1:] for start, to in chords(rings, axis=1, at_m=row.low_m)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class JoistLines:
    """The lines along which boards are fixed.

    Attributes:
        count: number of joists.
        length_m: metres of joist under the deck, m.
    """

    count: int
    length_m: float


def joist_lines(roof: RoofArea, *, centres_m: float, angle_deg: float = 0.0) -> JoistLines:
    """Return the joists under a roof area and their metres, on the slope.

    The first joist lies at the low side, one more at every centre, and the last at the high
    side, however near to the one before: ceil(extent / centres) + 1.

    Args:
        roof: the area; its outline is in plan.
        centres_m: from joist to joist, m, above nought.
        angle_deg: angle from x to the boards, across which joists run, degrees, -180 to 180.

    Raises:
        DomainError: a figure lies outside its range, or there are above 100,000 joists.

    Source: geometry; the layout is common practice, no source.

    >>> from qa.trade.outline import Outline
    >>> roof = RoofArea(outline=Outline(points_m=((0, 0), (6, 0), (6, 4), (0, 4))))
    >>> joist_lines(roof, centres_m=0.6)
    JoistLines(count=11, length_m=44.0)
    """
    require_positive("joist centres, m", centres_m)
    frame = StripFrame.of(roof, angle_deg=angle_deg)
    low_m, high_m = frame.bounds_m.low_x_m, frame.bounds_m.high_x_m
    # The outermost joists lie just inside, where a line along the edge would meet no roof.
    inside_m = 1e-6 * (high_m - low_m)
    count = ceil((high_m - low_m) / centres_m - ROUNDING) + 1
    if count > MOST_STRIPS:
        raise DomainError("number of joists", count, f"{MOST_STRIPS:,} or fewer")
    places = [
        min(max(low_m + n * centres_m, low_m + inside_m), high_m - inside_m) for n in range(count)
    ]
    length_m = fsum(
        to - start for place in places for start, to in chords(frame.rings, axis=0, at_m=place)
    )
    return JoistLines(count=count, length_m=length_m * roof.slope_factor)
