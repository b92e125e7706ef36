"""A pinhole camera: where a point of the site falls on the plate, and how a flat surface does.

The site has metres, x to the right, y away from the camera and z up. The camera never rolls, so a
level surface keeps one scale along each row of the plate.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import radians, sqrt, tan

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]
Point = tuple[float, float]

NEAR_M = 0.05
"""Nothing nearer to the lens than this is drawn."""


def add(a: Vector, b: Vector) -> Vector:
    """Return a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def subtract(a: Vector, b: Vector) -> Vector:
    """Return a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scaled(a: Vector, factor: float) -> Vector:
    """Return a, `factor` times as long."""
    return (a[0] * factor, a[1] * factor, a[2] * factor)


def dot(a: Vector, b: Vector) -> float:
    """Return the scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Return the vector product."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def unit(a: Vector) -> Vector:
    """Return a at length 1; the null vector stays as it is."""
    length = sqrt(dot(a, a))
    return scaled(a, 1 / length) if length else a


def inverse(m: Matrix) -> Matrix:
    """Return the inverse of a regular 3 x 3 matrix, by its adjugate."""
    columns = tuple((m[0][i], m[1][i], m[2][i]) for i in range(3))
    rows = (
        cross(columns[1], columns[2]),
        cross(columns[2], columns[0]),
        cross(columns[0], columns[1]),
    )
    factor = 1 / dot(columns[0], rows[0])
    return (scaled(rows[0], factor), scaled(rows[1], factor), scaled(rows[2], factor))


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where the picture is taken from.

    Attributes:
        stands: place of the lens, m.
        looks_at: the point in the middle of the picture, m; not straight below the lens.
        width_px: width of the plate.
        height_px: height of the plate.
        view_deg: angle of view across the longer side.
    """

    stands: Vector
    looks_at: Vector
    width_px: int
    height_px: int
    view_deg: float = 62.0

    def reduced(self, times: int) -> Camera:
        """Return the same view on a plate so many times smaller."""
        return replace(
            self, width_px=-(-self.width_px // times), height_px=-(-self.height_px // times)
        )

    @property
    def focal_px(self) -> float:
        """Focal length, in pixels of the plate."""
        return max(self.width_px, self.height_px) / 2 / tan(radians(self.view_deg / 2))

    @property
    def axes(self) -> Matrix:
        """Unit vectors to the right, down and ahead, as the camera sees them."""
        ahead = unit(subtract(self.looks_at, self.stands))
        right = unit(cross(ahead, (0.0, 0.0, 1.0)))
        return (right, cross(ahead, right), ahead)

    @property
    def horizon_px(self) -> float:
        """Row of the horizon, which may lie outside the plate."""
        _, down, ahead = self.axes
        level = unit((ahead[0], ahead[1], 0.0))
        return self.height_px / 2 + self.focal_px * dot(level, down) / dot(level, ahead)

    def flattening(self, origin: Vector, across: Vector, along: Vector) -> Matrix:
        """Return the homography from a flat surface to the plate.

        Args:
            origin: the place of the surface's pixel (0, 0), m.
            across: one pixel's step along a row, m.
            along: one pixel's step down a column, m.

        Returns:
            The matrix that takes (column, row, 1) of the surface to column * w, row * w and w of
            the plate, where w is the depth in m.
        """
        right, down, ahead = self.axes
        start = subtract(origin, self.stands)
        focal, middle, centre = self.focal_px, self.width_px / 2, self.height_px / 2
        depth = (dot(across, ahead), dot(along, ahead), dot(start, ahead))
        column = (dot(across, right), dot(along, right), dot(start, right))
        row = (dot(across, down), dot(along, down), dot(start, down))
        return (
            add(scaled(column, focal), scaled(depth, middle)),
            add(scaled(row, focal), scaled(depth, centre)),
            depth,
        )

    def thrown(self, point: Vector) -> Vector:
        """Return column * w, row * w and the depth w of a point, which may lie behind the lens."""
        right, down, ahead = self.axes
        offset = subtract(point, self.stands)
        depth = dot(offset, ahead)
        return (
            self.width_px / 2 * depth + self.focal_px * dot(offset, right),
            self.height_px / 2 * depth + self.focal_px * dot(offset, down),
            depth,
        )

    def seen(self, point: Vector) -> Vector:
        """Return where `point` falls: column, row and depth in m, never nearer than the lens."""
        column, row, depth = self.thrown(point)
        depth = max(depth, NEAR_M)
        return (column / depth, row / depth, depth)
