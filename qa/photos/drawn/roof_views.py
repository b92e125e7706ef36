"""The roof as a whole, stage by stage: from the old covering to the finished topcoat."""

from __future__ import annotations

from dataclasses import dataclass, field

from PIL import Image, ImageChops

from qa.photos.drawn import boards, glass, gloss, roof
from qa.photos.drawn.camera import Point
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.roof import RECTANGLE, ROOF_SCALE, Edging, RoofShape
from qa.photos.drawn.studio import Exposure, Studio

TOPCOAT: Colour = (112, 117, 121)


def boarded(studio: Studio, plan: Plan) -> None:
    """Cover the whole plan with boards and nails."""
    rows = int((plan.far_m - plan.near_m) / 0.6) + 1
    boards.boards_over(plan, studio.rng, rows, (plan.left_m, plan.near_m), plan.right_m - plan.left_m)
    nailed(studio, plan, rows)


def nailed(studio: Studio, plan: Plan, rows: int, reach_m: float = 99.0) -> None:
    """Nail so many rows of boards to joists 400 mm apart."""
    reach = min(reach_m, plan.right_m - plan.left_m)
    places = [
        (plan.left_m + 0.025 + 0.4 * i, plan.near_m + 0.6 * row + y)
        for i in range(int(reach / 0.4) + 1)
        for row in range(rows)
        for y in (0.03, 0.21, 0.39, 0.57)
    ]
    boards.nails_at(plan, studio.rng, places)


def laminated(studio: Studio, plan: Plan) -> glass.Mat:
    """Cover the whole plan with boards under wet laminate, and return the mat."""
    boarded(studio, plan)
    mat = glass.mat_cut(studio.rng, plan.size, ROOF_SCALE)
    plan.image = glass.wetted(plan.image, mat, 0.12, 0.12)
    return mat


def shone(
    plate: Plate, studio: Studio, shape: RoofShape, wet: list[list[Point]] | Image.Image, strength: float
) -> None:
    """Add the sky's and the house's reflection to the roof.

    Args:
        plate: the plate.
        studio: the means.
        shape: the roof.
        wet: outlines of what is wet, m, or a grey picture of the roof's bounds.
        strength: 1 for still water or resin, about 0.3 for a satin topcoat.
    """
    plan = Plan(*shape.bounds_m, 60)
    whole = plan.mask([shape.outline_m])
    some = wet.resize(plan.size) if isinstance(wet, Image.Image) else plan.mask(wet, 0.03)
    mask = gloss.wet_mask(plate.camera, plan, ImageChops.multiply(whole, some))
    gloss.shine(plate, roof.mirror(studio, shape, plate.camera), strength, mask)


@dataclass(frozen=True, slots=True, kw_only=True)
class OldCovering:
    """The roof before work, under its old felt."""

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        edging = Edging(colour=(92, 92, 88), fascia=(206, 200, 186))
        plate = roof.roof(studio, self.shape, self.side, lambda p: roof.felt(p, studio.rng), edging)
        return Exposure(plate=plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenJoists:
    """The roof stripped to its joists.

    Attributes:
        centres_mm: joist spacing, 300 to 900.
        noggins: whether noggins stand between them.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    centres_mm: int = 400
    noggins: bool = True

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        def cover(plan: Plan) -> None:
            roof.joists_under(plan, studio.rng, self.centres_mm / 1000, self.noggins)

        plate = roof.roof(studio, self.shape, self.side, cover, Edging(trims=False))
        return Exposure(plate=plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardsBeingLaid:
    """Boards going down on the joists, row by row.

    Attributes:
        progress: share of the roof that is covered, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.6

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        def cover(plan: Plan) -> None:
            rng, wide = studio.rng, plan.right_m - plan.left_m
            roof.joists_under(plan, rng, 0.4, True)
            rows = self.progress * (plan.far_m - plan.near_m) / 0.6
            last = max(0.4, round((rows % 1) * wide / 0.4) * 0.4) if rows % 1 > 0.05 else None
            count = int(rows) + (last is not None)
            edge = plan.near_m + 0.6 * int(rows)
            plan.shadow([[(plan.left_m, edge), (plan.right_m, edge), (plan.right_m, edge + 0.06), (plan.left_m, edge + 0.06)]], 0.02, 0.4)
            boards.boards_over(plan, rng, count, (plan.left_m, plan.near_m), wide, last)
            nailed(studio, plan, int(rows))

        plate = roof.roof(studio, self.shape, self.side, cover, Edging(trims=False))
        self._stack(plate, studio)
        return Exposure(plate=plate)

    @staticmethod
    def _stack(plate: Plate, studio: Studio) -> None:
        """Leave a few boards lying ready on the finished part."""
        x, y = studio.rng.uniform(0.5, 1.4), studio.rng.uniform(0.3, 0.6)
        wide, tall, thick, count = 2.4, 0.6, 0.018, studio.rng.randint(2, 5)
        light = studio.light
        with plate.solids() as layer:
            for board in range(count):
                z, skew = board * thick, studio.rng.uniform(-0.03, 0.03)
                left, near = x + skew, y + skew / 2
                front = [(left, near, z), (left + wide, near, z), (left + wide, near, z + thick), (left, near, z + thick)]
                layer.face(front, light.shade((176, 142, 98), (0, -1, 0)))
                for end in (left, left + wide):
                    side = [(end, near, z), (end, near + tall, z), (end, near + tall, z + thick), (end, near, z + thick)]
                    layer.face(side, light.shade((166, 132, 90), (end - left - 0.1, 0, 0)))
                line = [(left, near, z + thick), (left + wide, near, z + thick), (left + wide, near, z + thick - 0.004), (left, near, z + thick - 0.004)]
                layer.face(line, light.shade((92, 70, 46), (0, -1, 0)))
        piece = boards.strand_cut(studio.rng, (round(wide * ROOF_SCALE), round(tall * ROOF_SCALE)), ROOF_SCALE)
        gain = light.on((0.0, 0.0, 1.0)) / 0.82
        piece = piece.point([min(255, round(i * gain)) for i in range(256)] * 3)
        plate.lay(piece, (left, near + tall, z + thick), (wide, 0.0, 0.0), (0.0, -tall, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class MatRolledOut:
    """Dry mat rolled out over wetted boards, strip by strip.

    Attributes:
        progress: share of the roof under mat, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.6

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng

        def cover(plan: Plan) -> None:
            boarded(studio, plan)
            mat = glass.dry_mat(rng, plan.size, ROOF_SCALE)
            reach = plan.near_m + self.progress * (plan.far_m - plan.near_m)
            y = plan.near_m
            while y < reach - 0.05:
                end = plan.right_m if y + 1.0 <= reach else plan.left_m + 0.6 * (plan.right_m - plan.left_m)
                strip = [(plan.left_m, y), (end, y + 0.01), (end, y + 0.99), (plan.left_m, y + 1.0)]
                plan.shadow([[(a + 0.01, b - 0.012) for a, b in strip]], 0.012, 0.35)
                plan.image = Image.composite(mat, plan.image, glass.frayed(plan.mask([strip]), glass.mat_cut(rng, plan.size, ROOF_SCALE)))
                y += 0.95

        plate = roof.roof(studio, self.shape, self.side, cover, Edging())
        self._roll(plate, studio)
        return Exposure(plate=plate)

    def _roll(self, plate: Plate, studio: Studio) -> None:
        """Leave the roll of mat where it was stopped."""
        left, near, right, far = self.shape.bounds_m
        y = near + self.progress * (far - near)
        x = left + 0.6 * (right - left) + 0.16
        white: tuple[Colour, ...] = ((150, 150, 146), (196, 196, 191), (232, 232, 228), (248, 248, 246), (228, 228, 224), (176, 176, 172), (128, 128, 124))
        with plate.solids() as layer:
            layer.tube((x, y - 0.95, 0.12), (x, y + 0.02, 0.12), 0.12, white)
            layer.bead([(x, y - 0.95, 0.12)], 0.12, ((206, 206, 202), (182, 182, 178), (150, 128, 98)))


@dataclass(frozen=True, slots=True, kw_only=True)
class WetLaminate:
    """The laminate wetted out from the near edge on, the rest still bare boards.

    Attributes:
        progress: share of the roof that is laminated, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.7

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

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng
        left, near, right, far = self.shape.bounds_m
        reach = far - self.progress * (far - near)
        steps = 14
        front = [(left + (right - left) * i / steps, reach + rng.uniform(-0.16, 0.16)) for i in range(steps + 1)]
        area = [*front, (right, far), (left, far)]
        rim = [[(left, near), (left + 0.2, near), (left + 0.2, far), (left, far)], [(right - 0.2, near), (right, near), (right, far), (right - 0.2, far)]]

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

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        def cover(plan: Plan) -> None:
            plan.image = glass.coated(studio.rng, plan.size, ROOF_SCALE, TOPCOAT)

        plate = roof.roof(studio, self.shape, self.side, cover, Edging(colour=TOPCOAT, flashing=True))
        shone(plate, studio, self.shape, [list(self.shape.outline_m)], 0.34)
        return Exposure(plate=plate)


