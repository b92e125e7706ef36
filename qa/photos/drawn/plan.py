"""A flat surface drawn from straight above, to scale, before it is thrown on the plate."""

from __future__ import annotations

from collections.abc import Sequence

from PIL import Image, ImageDraw, ImageFilter

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.light import Light
from qa.photos.drawn.plate import Colour, Plate

SHADOW_REDUCTION = 4


class Plan:
    """A level surface as a picture, its far edge in the first row.

    Attributes:
        left_m, right_m, near_m, far_m: bounds of the surface on the site.
        px_per_m: scale.
        image: the picture, RGB.
    """

    def __init__(
        self, left_m: float, near_m: float, right_m: float, far_m: float, px_per_m: float
    ) -> None:
        self.left_m, self.near_m, self.right_m, self.far_m = left_m, near_m, right_m, far_m
        self.px_per_m = px_per_m
        width = max(1, round((right_m - left_m) * px_per_m))
        height = max(1, round((far_m - near_m) * px_per_m))
        self.image = Image.new("RGB", (width, height))

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, px."""
        return self.image.size

    @property
    def draw(self) -> ImageDraw.ImageDraw:
        """A pen on the picture as it is now."""
        return ImageDraw.Draw(self.image)

    def at(self, x_m: float, y_m: float) -> Point:
        """Return the pixel of a place on the site."""
        return ((x_m - self.left_m) * self.px_per_m, (self.far_m - y_m) * self.px_per_m)

    def outline(self, polygon_m: Sequence[Point]) -> list[Point]:
        """Return the pixels of an outline on the site."""
        return [self.at(x, y) for x, y in polygon_m]

    def paste(
        self, picture: Image.Image, x_m: float, y_m: float, mask: Image.Image | None = None
    ) -> None:
        """Lay a picture with its first pixel (its far left corner) at a place on the site."""
        column, row = self.at(x_m, y_m)
        self.image.paste(picture, (round(column), round(row)), mask)

    def fill(self, polygon_m: Sequence[Point], colour: Colour) -> None:
        """Fill an outline with one colour."""
        self.draw.polygon(self.outline(polygon_m), fill=colour)

    def mask(self, polygons_m: Sequence[Sequence[Point]], blur_m: float = 0.0) -> Image.Image:
        """Return a grey mask with the outlines at 255, soft by `blur_m`."""
        return self._mask(polygons_m, blur_m, (0, 0, *self.size))

    def _mask(
        self, polygons_m: Sequence[Sequence[Point]], blur_m: float, box: tuple[int, int, int, int]
    ) -> Image.Image:
        """Return the part of a mask that lies in a box of the picture."""
        step = SHADOW_REDUCTION if blur_m * self.px_per_m > 3 else 1
        size = (box[2] - box[0], box[3] - box[1])
        small = Image.new("L", (-(-size[0] // step), -(-size[1] // step)))
        pen = ImageDraw.Draw(small)
        for polygon in polygons_m:
            outline = self.outline(polygon)
            pen.polygon([((x - box[0]) / step, (y - box[1]) / step) for x, y in outline], 255)
        if blur_m:
            small = small.filter(ImageFilter.GaussianBlur(blur_m * self.px_per_m / step))
        return small.resize(size, Image.Resampling.BILINEAR) if step > 1 else small

    def shadow(self, polygons_m: Sequence[Sequence[Point]], blur_m: float, strength: float) -> None:
        """Darken the surface inside the outlines; `strength` 1 would be black."""
        points = [p for polygon in polygons_m for p in self.outline(polygon)]
        reach = 3 * blur_m * self.px_per_m + 2 * SHADOW_REDUCTION
        left, top = (max(0, int(min(p[i] for p in points) - reach)) for i in (0, 1))
        right, bottom = (min(self.size[i], int(max(p[i] for p in points) + reach)) for i in (0, 1))
        if right <= left or bottom <= top:
            return
        box = (left, top, right, bottom)
        factor = noise.squeezed(
            self._mask(polygons_m, blur_m, box), 255, round(255 * (1 - strength))
        )
        self.image.paste(noise.shaded(self.image.crop(box), factor), box)

    def lit(self, light: Light) -> None:
        """Bring the surface to the brightness of a level face in this light."""
        gain = light.on((0.0, 0.0, 1.0)) / 0.85
        self.image = self.image.point([min(255, round(i * gain)) for i in range(256)] * 3)

    def stand(self, plate: Plate, height_m: float = 0.0) -> None:
        """Throw the surface on the plate at a height."""
        plate.lay(
            self.image,
            (self.left_m, self.far_m, height_m),
            (self.right_m - self.left_m, 0.0, 0.0),
            (0.0, self.near_m - self.far_m, 0.0),
        )
