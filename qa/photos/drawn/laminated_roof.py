"""The whole roof under glass and resin: mat rolled out, wet laminate, topcoat, finished."""

from __future__ import annotations

from dataclasses import dataclass, field

from PIL import Image

from qa.photos.drawn import glass, roof
from qa.photos.drawn.bounds import require
from qa.photos.drawn.coverings import boarded, laminated
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.roof import RECTANGLE, ROOF_SCALE, Edging, RoofShape, shone
from qa.photos.drawn.studio import Exposure, Studio

TOPCOAT: Colour = (112, 117, 121)


@dataclass(frozen=True, slots=True, kw_only=True)
class MatRolledOut:
    """Dry mat rolled out over wetted boards, strip by strip.

    Attributes:
        progress: share of the roof under mat, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.6

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)
        require("progress", self.progress, 0, 1)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng

        def cover(plan: Plan) -> None:
            boarded(studio, plan)
            mat = glass.dry_mat(rng, plan.size, ROOF_SCALE)
            reach = plan.near_m + self.progress * (plan.far_m - plan.near_m)
            y = plan.near_m
            while y < reach - 0.05:
                end = (
                    plan.right_m
                    if y + 1.0 <= reach
                    else plan.left_m + 0.6 * (plan.right_m - plan.left_m)
                )
                strip = [(plan.left_m, y), (end, y + 0.01), (end, y + 0.99), (plan.left_m, y + 1.0)]
                plan.shadow([[(a + 0.01, b - 0.012) for a, b in strip]], 0.012, 0.35)
                plan.image = Image.composite(
                    mat,
                    plan.image,
                    glass.frayed(plan.mask([strip]), glass.mat_cut(rng, plan.size, ROOF_SCALE)),
                )
                y += 0.95

        plate = roof.roof(studio, self.shape, self.side, cover, Edging())
        self._roll(plate)
        return Exposure(plate=plate)

    def _roll(self, plate: Plate) -> None:
        """Leave the roll of mat where it was stopped."""
        left, near, right, far = self.shape.bounds_m
        y = near + self.progress * (far - near)
        x = left + 0.6 * (right - left) + 0.16
        white: tuple[Colour, ...] = (
            (150, 150, 146),
            (196, 196, 191),
            (232, 232, 228),
            (248, 248, 246),
            (228, 228, 224),
            (176, 176, 172),
            (128, 128, 124),
        )
        with plate.solids() as layer:
            layer.tube((x, y - 0.95, 0.12), (x, y + 0.02, 0.12), 0.12, white)
            layer.bead(
                [(x, y - 0.95, 0.12)], 0.12, ((206, 206, 202), (182, 182, 178), (150, 128, 98))
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class WetLaminate:
    """The laminate wetted out from the near edge on, the rest still bare boards.

    Attributes:
        progress: share of the roof that is laminated, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.7

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)
        require("progress", self.progress, 0, 1)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        left, near, right, far = self.shape.bounds_m
        reach = near + self.progress * (far - near)
        area = [(left, near), (right, near), (right, reach - 0.1), (left, reach)]

        def cover(plan: Plan) -> None:
            boarded(studio, plan)
            mat = glass.mat_cut(studio.rng, plan.size, ROOF_SCALE)
            wet = glass.wetted(plan.image, mat, 0.12, 0.14)
            plan.image = Image.composite(wet, plan.image, glass.frayed(plan.mask([area]), mat))

        plate = roof.roof(studio, self.shape, self.side, cover, Edging())
        shone(plate, studio, self.shape, [area], 0.75)
        return Exposure(plate=plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class TopcoatHalfOn:
    """Topcoat being rolled on, edges first.

    Attributes:
        progress: share of the roof that is coated, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.5

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)
        require("progress", self.progress, 0, 1)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng
        left, near, right, far = self.shape.bounds_m
        reach = far - self.progress * (far - near)
        steps = 14
        front = [
            (left + (right - left) * i / steps, reach + rng.uniform(-0.16, 0.16))
            for i in range(steps + 1)
        ]
        area = [*front, (right, far), (left, far)]
        rim = [
            [(left, near), (left + 0.2, near), (left + 0.2, far), (left, far)],
            [(right - 0.2, near), (right, near), (right, far), (right - 0.2, far)],
        ]

        def cover(plan: Plan) -> None:
            mat = laminated(studio, plan)
            plan.image = Image.blend(plan.image, Image.new("RGB", plan.size, (158, 150, 112)), 0.36)
            coat = glass.coated(rng, plan.size, ROOF_SCALE, TOPCOAT)
            mask = glass.frayed(plan.mask([area, *rim], 0.01), mat)
            plan.image = Image.composite(coat, plan.image, mask)

        plate = roof.roof(studio, self.shape, self.side, cover, Edging(colour=TOPCOAT))
        shone(plate, studio, self.shape, [area, *rim], 0.8)
        return Exposure(plate=plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedRoof:
    """The whole finished roof."""

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""

        def cover(plan: Plan) -> None:
            plan.image = glass.coated(studio.rng, plan.size, ROOF_SCALE, TOPCOAT)

        plate = roof.roof(
            studio, self.shape, self.side, cover, Edging(colour=TOPCOAT, flashing=True)
        )
        shone(plate, studio, self.shape, [list(self.shape.outline_m)], 0.34)
        return Exposure(plate=plate)
