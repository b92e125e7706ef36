"""The plate on which a scene is drawn: flat surfaces in perspective, and solid things on top.

A `Plan` is a flat surface as a picture from straight above, with a scale; `Plate.lay` throws it on
the plate. A `Solids` layer takes polygons at twice the plate's resolution, so that edges come out
smooth, and is set on the plate in one piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from math import copysign, log2

from PIL import Image, ImageChops, ImageDraw

from qa.photos.drawn.camera import Camera, Matrix, Point, Vector, add, inverse, scaled, unit

Colour = tuple[int, int, int]
MARGIN_PX = 2
"""Pixels round a picture that only serve to blend its edge."""

BAND_PX = 32
"""Rows of the plate that share one reduction of a receding surface."""


def _through(matrix: Matrix, column: float, row: float) -> Vector:
    return (
        matrix[0][0] * column + matrix[0][1] * row + matrix[0][2],
        matrix[1][0] * column + matrix[1][1] * row + matrix[1][2],
        matrix[2][0] * column + matrix[2][1] * row + matrix[2][2],
    )


def _before_lens(corners: Sequence[Vector], near: float = 0.05) -> list[Point]:
    """Cut a polygon of (x w, y w, w) where w falls below `near`, and divide by w."""
    kept: list[Vector] = []
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        if a[2] >= near:
            kept.append(a)
        if (a[2] >= near) != (b[2] >= near):
            share = (near - a[2]) / (b[2] - a[2])
            kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), near))
    return [(x / w, y / w) for x, y, w in kept]


def _spread(outline: Sequence[Point], pixels: float) -> Sequence[Point]:
    if not pixels or not outline:
        return outline
    x = sum(p[0] for p in outline) / len(outline)
    y = sum(p[1] for p in outline) / len(outline)
    return [(p[0] + copysign(pixels, p[0] - x), p[1] + copysign(pixels, p[1] - y)) for p in outline]


class Plate:
    """A picture in the making, and the camera that takes it."""

    def __init__(self, camera: Camera, ground: Image.Image) -> None:
        self.camera = camera
        self.image = ground

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, px."""
        return self.image.size

    def mask(self, polygon: Sequence[Point]) -> tuple[Image.Image, tuple[int, int]]:
        """Return a smooth mask of a polygon on the plate, and where its corner lies."""
        left = max(0, int(min(x for x, _ in polygon)) - 1)
        top = max(0, int(min(y for _, y in polygon)) - 1)
        right = min(self.size[0], int(max(x for x, _ in polygon)) + 2)
        bottom = min(self.size[1], int(max(y for _, y in polygon)) + 2)
        size = (max(1, right - left), max(1, bottom - top))
        mask = Image.new("L", (size[0] * 2, size[1] * 2))
        ImageDraw.Draw(mask).polygon(
            [((x - left) * 2, (y - top) * 2) for x, y in polygon], fill=255
        )
        return mask.reduce(2), (left, top)

    def lay(
        self,
        picture: Image.Image,
        origin: Vector,
        across: Vector,
        along: Vector,
        bleed_px: float = 0.0,
        within: Sequence[Vector] = (),
    ) -> None:
        """Throw a flat picture on the plate.

        Args:
            picture: RGB, or RGBA where the surface has holes.
            origin: place of the picture's first pixel, m.
            across: from there to the end of its first row, m.
            along: from there to the end of its first column, m.
            bleed_px: how far its edge spreads, so that two faces that meet leave no seam.
            within: an outline on the same surface that cuts the picture, m; all of it if empty.
        """
        width, height = (max(1, side - 2 * MARGIN_PX) for side in picture.size)
        step = scaled(across, 1 / width), scaled(along, 1 / height)
        start = add(origin, scaled(add(*step), -MARGIN_PX))
        matrix = self.camera.flattening(start, *step)
        low, right, bottom = MARGIN_PX, MARGIN_PX + width, MARGIN_PX + height
        corners = [
            _through(matrix, *c) for c in ((low, low), (right, low), (right, bottom), (low, bottom))
        ]
        if within:
            corners = [self.camera.thrown(point) for point in within]
        outline = _spread(_before_lens(corners), bleed_px)
        if len(outline) < 3 or not self._in_sight(outline):
            return
        mask, corner = self.mask(outline)
        thrown = _thrown(picture, inverse(matrix), outline, corner, mask.size)
        if thrown.mode == "RGBA":
            mask = ImageChops.multiply(thrown.getchannel("A"), mask)
            thrown = thrown.convert("RGB")
        self.image.paste(thrown, corner, mask)

    def _in_sight(self, outline: Sequence[Point]) -> bool:
        columns, rows = [x for x, _ in outline], [y for _, y in outline]
        return (
            max(columns) > 0 and min(columns) < self.size[0]
            and max(rows) > 0 and min(rows) < self.size[1]
        )  # fmt: skip

    @contextmanager
    def solids(self) -> Iterator[Solids]:
        """Give a layer for solid things, and set it on the plate afterwards."""
        layer = Solids(self.camera)
        yield layer
        layer.settle(self.image)


def _thrown(
    picture: Image.Image,
    back: Matrix,
    outline: Sequence[Point],
    corner: tuple[int, int],
    size: tuple[int, int],
) -> Image.Image:
    """Return the part of the plate at `corner`, filled from `picture` without shimmer.

    Band by band, so that a receding surface is taken from a smaller copy where it is far away, and
    a slanting strip costs no more than its own width.
    """
    result = Image.new(picture.mode, size)
    reduced = {0: picture}
    coarsest = max(0, int(log2(min(picture.size) / 16)))
    for top in range(0, size[1], BAND_PX):
        bottom = min(size[1], top + BAND_PX)
        span = _span(outline, corner[1] + top, corner[1] + bottom)
        if span is None:
            continue
        left, right = (
            max(0, int(span[0]) - corner[0] - 1),
            min(size[0], int(span[1]) - corner[0] + 2),
        )
        if right <= left:
            continue
        x, y = corner[0] + left, corner[1] + top
        level = min(coarsest, _halvings(back, x + (right - left) / 2, y + (bottom - top) / 2))
        if level not in reduced:
            reduced[level] = picture.reduce(2**level)
        strip = reduced[level].transform(
            (right - left, bottom - top),
            Image.Transform.PERSPECTIVE,
            _coefficients(back, x, y, 2**level),
            Image.Resampling.BILINEAR,
        )
        result.paste(strip, (left, top))
    return result


def _coefficients(back: Matrix, x: int, y: int, step: int) -> list[float]:
    """Return the eight figures that take a strip's pixels to a picture reduced by `step`."""
    start = _through(back, x, y)
    last = start[2] * step
    last = last if abs(last) > 1e-12 else 1e-12
    figures = (
        back[0][0], back[0][1], start[0], back[1][0], back[1][1], start[1],
        back[2][0] * step, back[2][1] * step,
    )  # fmt: skip
    return [figure / last for figure in figures]


def _span(outline: Sequence[Point], top: float, bottom: float) -> tuple[float, float] | None:
    """Return the leftmost and rightmost column of an outline between two rows."""
    columns = [x for x, y in outline if top <= y <= bottom]
    for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True):
        columns += [
            ax + (bx - ax) * (row - ay) / (by - ay)
            for row in (top, bottom)
            if (ay < row) != (by < row)
        ]
    return (min(columns), max(columns)) if columns else None


def _halvings(back: Matrix, column: float, row: float) -> int:
    """Return how often the picture is halved so that a pixel of the plate takes about one of it."""
    here, beside, below = (_through(back, column + a, row + b) for a, b in ((0, 0), (1, 0), (0, 1)))
    if min(here[2] * beside[2], here[2] * below[2]) <= 0:
        return 0
    x, y = here[0] / here[2], here[1] / here[2]
    wide = abs(beside[0] / beside[2] - x) + abs(beside[1] / beside[2] - y)
    high = abs(below[0] / below[2] - x) + abs(below[1] / below[2] - y)
    density = max(wide, high * 0.5)
    return min(5, max(0, round(log2(max(density, 1e-6)))))


class Solids:
    """Polygons in site metres, drawn at twice the plate's resolution when the layer settles."""

    FINE = 2

    def __init__(self, camera: Camera) -> None:
        self.camera = camera
        self._shapes: list[tuple[list[Point], Colour, bool]] = []

    def face(self, points: Sequence[Vector], colour: Colour) -> None:
        """Draw one flat face."""
        outline = _before_lens([self.camera.thrown(p) for p in points])
        if len(outline) > 2:
            self.spot(outline, colour)

    def spot(self, points: Sequence[Point], colour: Colour) -> None:
        """Draw a polygon whose points are pixels of the plate."""
        self._shapes.append((list(points), colour, False))

    def tube(self, start: Vector, end: Vector, radius_m: float, colours: Sequence[Colour]) -> None:
        """Draw a round bar, one long stripe for each of `colours` from one side to the other."""
        a, b = self.camera.seen(start), self.camera.seen(end)
        run = unit((b[0] - a[0], b[1] - a[1], 0.0))
        if run == (0.0, 0.0, 0.0):
            return
        side = (-run[1], run[0])
        if side[0] < 0 or (side[0] == 0 and side[1] < 0):
            side = (-side[0], -side[1])
        reach_a, reach_b = (radius_m * self.camera.focal_px / p[2] for p in (a, b))

        def at(place: Vector, reach: float) -> Point:
            return (place[0] + side[0] * reach, place[1] + side[1] * reach)

        for index, colour in enumerate(colours):
            low, high = (2 * (index + i) / len(colours) - 1 for i in (0, 1))
            corners = [
                at(a, reach_a * low), at(a, reach_a * high),
                at(b, reach_b * high), at(b, reach_b * low),
            ]  # fmt: skip
            self.spot(corners, colour)

    def bead(self, path: Sequence[Vector], radius_m: float, colours: Sequence[Colour]) -> None:
        """Draw a soft rope along a path, from its dark outside to the light along its top."""
        for index, colour in enumerate(colours):
            share = 1 - index / len(colours)
            shift = (1 - share) * radius_m * 0.55
            for point in path:
                x, y, depth = self.camera.seen(add(point, (-shift, shift, shift)))
                reach = radius_m * share * self.camera.focal_px / depth
                box = [(x - reach, y - reach), (x + reach, y + reach)]
                self._shapes.append((box, colour, True))

    def settle(self, image: Image.Image) -> None:
        """Set the layer on the plate."""
        points = [point for shape, _, _ in self._shapes for point in shape]
        if not points:
            return
        left, top = (max(0, int(min(p[i] for p in points)) - 1) for i in (0, 1))
        right, bottom = (min(image.size[i], int(max(p[i] for p in points)) + 2) for i in (0, 1))
        if right <= left or bottom <= top:
            return
        fine = self.FINE
        layer = Image.new("RGBA", ((right - left) * fine, (bottom - top) * fine), (0, 0, 0, 0))
        pen = ImageDraw.Draw(layer)
        for shape, colour, is_round in self._shapes:
            moved = [((x - left) * fine, (y - top) * fine) for x, y in shape]
            (pen.ellipse if is_round else pen.polygon)(moved, fill=(*colour, 255))
        small = layer.convert("RGBa").reduce(fine)
        image.paste(small.convert("RGBA").convert("RGB"), (left, top), small.getchannel("a"))
