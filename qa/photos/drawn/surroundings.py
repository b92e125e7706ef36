"""What lies beyond the roof: sky, trees, neighbouring houses, brick walls."""

from __future__ import annotations

from functools import lru_cache
from random import Random

from PIL import Image, ImageDraw, ImageFilter

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Camera, Point
from qa.photos.drawn.light import Light, mixed, tinted, tinted_by
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate

COARSE = 2
"""What is far away is drawn this many times smaller: the lens does not hold it sharp."""


def outdoors(camera: Camera, light: Light, rng: Random, drop_m: float) -> Image.Image:
    """Return a plate with all that lies beyond the roof: sky, houses, trees, and the garden.

    Args:
        camera: the camera.
        light: sun and sky.
        rng: chooses houses and trees.
        drop_m: how far the garden lies below the roof.
    """
    far = camera.reduced(COARSE)
    horizon = round(far.horizon_px)
    picture = Image.new("RGB", (far.width_px, far.height_px), light.shade((104, 122, 76), (0, 0, 1)))
    if horizon > -50:
        picture = _sky(picture.size, max(2, horizon), light, rng)
        _ground(picture, horizon, light, rng)
        _houses(picture, horizon, far.focal_px, light, rng)
        _trees(picture, horizon, far.focal_px, light, rng)
    plate = Plate(far, picture)
    _garden(plate, rng, light, drop_m)
    return plate.image.resize((camera.width_px, camera.height_px), Image.Resampling.BICUBIC)


def _sky(size: noise.Size, horizon: int, light: Light, rng: Random) -> Image.Image:
    fall = Image.linear_gradient("L").resize((size[0], max(2, horizon + 4)))
    sky = Image.new("RGB", size, light.haze)
    top = Image.composite(
        Image.new("RGB", fall.size, light.haze), Image.new("RGB", fall.size, light.zenith), fall
    )
    sky.paste(top, (0, 0))
    coarse = (max(2, size[0] // 6), max(2, size[1] // 6))
    soft = noise.clouds(rng, coarse, 0.5, noise.MIXED).resize(size, Image.Resampling.BICUBIC)
    clear = light.direct > 0.3
    cover = noise.contrast(soft, 120, 205) if clear else noise.contrast(soft, 40, 255)
    bright = tinted_by((250, 250, 249), light.warmth) if clear else light.haze
    sky = Image.composite(Image.new("RGB", size, bright), sky, cover)
    belly = noise.contrast(soft, 165, 255).point([i // 3 for i in range(256)])
    return Image.composite(Image.new("RGB", size, tinted(light.zenith, 0.9)), sky, belly)


def _ground(picture: Image.Image, horizon: int, light: Light, rng: Random) -> None:
    height = picture.height - horizon
    if height <= 0:
        return
    green = light.shade((104, 122, 76), (0, 0, 1))
    ground = Image.new("RGB", (picture.width, height), green)
    streaks = noise.clouds(rng, (picture.width, max(2, height // 3)), 0.5, 0.5).resize(ground.size)
    picture.paste(noise.weathered(ground, streaks, 0.5), (0, horizon))


def _houses(
    picture: Image.Image, horizon: int, focal: float, light: Light, rng: Random
) -> None:
    pen = ImageDraw.Draw(picture)
    x = rng.uniform(-0.3, 0.1) * picture.width
    while x < picture.width:
        far = rng.uniform(22, 45)
        scale = focal / far
        _house(pen, x, horizon, scale, light, rng)
        x += scale * rng.uniform(11, 22)


def _house(
    pen: ImageDraw.ImageDraw, x: float, horizon: int, scale: float, light: Light, rng: Random
) -> None:
    """Draw one house, its eaves a little above the horizon and its foot below."""
    wide, eaves, ridge = rng.uniform(7, 10) * scale, 1.9 * scale, 4.9 * scale
    brick = rng.choice(((158, 104, 82), (176, 130, 100), (206, 198, 184), (150, 112, 96)))
    wall = mixed(light.shade(brick, (0, -0.9, 0.1)), light.haze, 0.22)
    tile = mixed(light.shade(rng.choice(((112, 80, 70), (92, 88, 88), (126, 84, 66))), (0, -0.6, 0.8)), light.haze, 0.2)
    pen.rectangle((x, horizon - eaves, x + wide, horizon + 9 * scale), fill=wall)
    hip = rng.choice((0.05, 0.3, 0.5)) * wide
    pen.polygon(
        [(x - 0.3 * scale, horizon - eaves), (x + hip, horizon - ridge),
         (x + wide - hip, horizon - ridge), (x + wide + 0.3 * scale, horizon - eaves)],
        fill=tile,
    )  # fmt: skip
    for course in range(1, 9):
        y = horizon - eaves - (ridge - eaves) * course / 9
        cut = hip * course / 9
        pen.line([(x + cut, y), (x + wide - cut, y)], fill=tinted(tile, 0.9))
    stack = x + wide * rng.uniform(0.25, 0.7)
    pen.rectangle((stack, horizon - ridge - 1.0 * scale, stack + 0.8 * scale, horizon - ridge + 0.4 * scale), fill=tinted(wall, 0.85))
    for window in range(2 + rng.randrange(2)):
        left = x + wide * (0.12 + 0.3 * window)
        pen.rectangle((left, horizon - 1.3 * scale, left + 1.25 * scale, horizon), fill=(226, 226, 222))
        for pane in (0.08, 0.67):
            glass = mixed((62, 72, 84), light.haze, rng.uniform(0.1, 0.5))
            pen.rectangle(
                (left + pane * scale, horizon - 1.2 * scale, left + (pane + 0.5) * scale, horizon - 0.1 * scale),
                fill=glass,
            )


@lru_cache(maxsize=6)
def _foliage(variant: int) -> Image.Image:
    """Return a round of foliage, RGBA, light from above."""
    rng = Random(f"foliage {variant}")
    side = 320
    crown = Image.new("RGBA", (side, side), (58, 78, 44, 0))
    pen = ImageDraw.Draw(crown)
    for _ in range(2600):
        radius = rng.random() ** 0.6
        turn = rng.uniform(-1, 1), rng.uniform(-1, 1)
        length = (turn[0] ** 2 + turn[1] ** 2) ** 0.5 or 1.0
        x = side / 2 + turn[0] / length * radius * side * 0.45
        y = side / 2 + turn[1] / length * radius * side * 0.45
        leaf = rng.uniform(2, 7)
        lift = 0.62 + 0.75 * (1 - y / side) * rng.uniform(0.6, 1.3)
        colour = tinted(rng.choice(((86, 112, 58), (98, 122, 62), (74, 98, 52))), lift)
        pen.ellipse((x - leaf, y - leaf * 0.7, x + leaf, y + leaf * 0.7), fill=(*colour, 255))
    return crown


def _trees(
    picture: Image.Image, horizon: int, focal: float, light: Light, rng: Random
) -> None:
    for _ in range(rng.randint(9, 16)):
        far = rng.uniform(16, 45)
        scale = focal / far
        side = round(rng.uniform(3.0, 7.0) * scale)
        crown = _foliage(rng.randrange(6)).resize((side, round(side * rng.uniform(0.8, 1.3))))
        gain = light.on((0, 0, 1)) * 0.85
        lit = crown.convert("RGB").point(
            [min(255, round(i * gain * w)) for w in light.warmth for i in range(256)]
        )
        veil = Image.new("RGB", lit.size, light.haze)
        lit = Image.blend(lit, veil, min(0.45, far / 110))
        x = round(rng.uniform(-0.1, 1.0) * picture.width)
        y = round(horizon + (1.6 - rng.uniform(0.4, 0.9) * 2.2) * scale - crown.height * 0.35)
        picture.paste(lit, (x, y), crown.getchannel("A"))


GARDEN_SCALE = 40
GARDEN_M = (-14.0, -3.0, 14.0, 15.0)


def _garden(plate: Plate, rng: Random, light: Light, drop_m: float) -> None:
    """Draw the garden that lies `drop_m` below the roof: lawn, slabs, a fence, shrubs."""
    _lawn(rng, light).stand(plate, -drop_m)
    left, near, right, far = GARDEN_M
    fence = _fence(light, rng)
    plate.lay(fence, (left, far, 1.8 - drop_m), (right - left, 0.0, 0.0), (0.0, 0.0, -1.8))
    plate.lay(fence, (left, near, 1.8 - drop_m), (0.0, far - near, 0.0), (0.0, 0.0, -1.8))
    plate.lay(fence, (right, far, 1.8 - drop_m), (0.0, near - far, 0.0), (0.0, 0.0, -1.8))
    places = [(rng.uniform(left, right), far - rng.uniform(0.6, 2.5)) for _ in range(12)]
    for x, y in sorted(places, key=lambda p: -p[1]):
        tall = rng.uniform(0.6, 1.9)
        crown = _foliage(rng.randrange(6)).resize((140, 140))
        gain = light.on((0.0, 0.0, 1.0))
        crown = crown.point([min(255, round(i * gain)) for i in range(256)] * 3 + list(range(256)))
        plate.lay(crown, (x, y, tall - drop_m - 0.1), (tall * 1.3, 0.0, 0.0), (0.0, 0.0, -tall))


@lru_cache(maxsize=3)
def _lawn_picture(variant: int) -> Image.Image:
    """Return the garden from above; a site keeps its garden."""
    rng = Random(f"lawn {variant}")
    plan = Plan(*GARDEN_M, GARDEN_SCALE)
    lawn = Image.new("RGB", plan.size, (104, 122, 76))
    lawn = noise.weathered(lawn, noise.clouds(rng, plan.size, 0.8, noise.ROUGH), 0.4)
    plan.image = noise.weathered(lawn, noise.grain(rng, plan.size), 0.3)
    pen, slab, rows = plan.draw, 0.6, 5 + rng.randrange(3)
    for column in range(-24, 24):
        for row in range(-5, rows):
            x, y = plan.at(column * slab, row * slab)
            tone = tinted((168, 162, 150), rng.uniform(0.88, 1.06))
            side = slab * GARDEN_SCALE
            pen.rectangle((x, y - side, x + side - 1, y - 1), fill=tone, outline=(118, 114, 104))
    return plan.image.filter(ImageFilter.BoxBlur(1))


def _lawn(rng: Random, light: Light) -> Plan:
    plan = Plan(*GARDEN_M, GARDEN_SCALE)
    plan.image = _lawn_picture(rng.randrange(3))
    plan.lit(light)
    return plan


def _fence(light: Light, rng: Random) -> Image.Image:
    fence = Image.new("RGB", (1120, 72), (96, 74, 52))
    pen = ImageDraw.Draw(fence)
    for x in range(0, 1120, 6):
        pen.rectangle((x, 2, x + 4, 72), fill=tinted((142, 112, 82), rng.uniform(0.8, 1.1)))
    for x in range(0, 1120, 73):
        pen.rectangle((x, 0, x + 5, 72), fill=(120, 96, 70))
    gain = light.on((0.0, -1.0, 0.0)) / 0.7
    return fence.point([min(255, round(i * gain)) for i in range(256)] * 3)


_BRICKS: tuple[Colour, ...] = ((142, 84, 62), (186, 124, 92), (160, 98, 74), (120, 78, 66), (174, 112, 80))


@lru_cache(maxsize=8)
def brickwork(width_m: float, height_m: float, px_per_m: float, colour: Colour) -> Image.Image:
    """Return a stretcher-bond wall; the first row of the picture is its top."""
    rng = Random(f"bricks {width_m} {height_m}")
    size = (max(2, round(width_m * px_per_m)), max(2, round(height_m * px_per_m)))
    wall = Image.new("RGB", size, (184, 176, 160))
    wall = noise.weathered(wall, noise.grain(rng, size), 0.2)
    pen = ImageDraw.Draw(wall)
    course, brick = 0.075 * px_per_m, 0.225 * px_per_m
    row, y = 0, float(size[1])
    while y > 0:
        x = -brick * (0.5 if row % 2 else 0.0) - brick * 0.3
        while x < size[0]:
            _brick(pen, rng, (x, y - course), px_per_m, mixed(colour, rng.choice(_BRICKS), 0.6))
            x += brick
        y -= course
        row += 1
    fine = noise.clouds(rng, size, 0.16 * max(1.0, px_per_m / 400), noise.ROUGH)
    wall = noise.weathered(wall, fine, 0.30)
    wall = noise.weathered(wall, noise.clouds(rng, size, 2.0, noise.MIXED), 0.22)
    return noise.weathered(wall, noise.grain(rng, size), 0.14)


def _brick(
    pen: ImageDraw.ImageDraw, rng: Random, corner: Point, px_per_m: float, tone: Colour
) -> None:
    """Draw one brick with its arrises worn and the joint below it in shade."""
    joint = max(1.0, 0.010 * px_per_m)
    x, y = corner[0], corner[1] + joint
    right, low = x + 0.215 * px_per_m, y + 0.065 * px_per_m
    tone = tinted(tone, rng.uniform(0.86, 1.08))
    worn = 0.0022 * px_per_m

    def near(a: float, b: float) -> Point:
        return (a + rng.uniform(-worn, worn), b + rng.uniform(-worn, worn))

    steps = (0.0, 0.2, 0.45, 0.7, 1.0) if px_per_m > 600 else (0.0, 1.0)
    upper = [near(x + (right - x) * s, y) for s in steps]
    lower = [near(x + (right - x) * s, low) for s in reversed(steps)]
    drop = joint * 0.42
    pen.polygon([(a, b + drop) for a, b in (*upper, *lower)], fill=(112, 100, 88))
    pen.polygon([*upper, *lower], fill=tone)
    if px_per_m > 600:
        pen.line(upper, fill=tinted(tone, 1.14), width=2)
        for _ in range(14):
            a, b = rng.uniform(x, right), rng.uniform(y, low)
            pit = rng.uniform(0.5, 2.4)
            pen.ellipse((a, b, a + pit * 1.6, b + pit), fill=tinted(tone, rng.choice((0.66, 0.8, 1.16))))


WALL_HEIGHT_M = 3.4


@lru_cache(maxsize=4)
def house_wall(length_dm: int) -> Image.Image:
    """Return the house's wall, with a window in it; the same house on every picture."""
    wide = length_dm / 10
    wall = brickwork(wide, WALL_HEIGHT_M, 150, (172, 112, 86))
    return _with_window(wall, wide * 0.62, 150) if wide > 2.5 else wall


def _with_window(wall: Image.Image, at_m: float, scale: int) -> Image.Image:
    glass = Image.linear_gradient("L").resize((scale, round(scale * 1.1)))
    pane = Image.composite(
        Image.new("RGB", glass.size, (52, 62, 72)), Image.new("RGB", glass.size, (158, 174, 188)), glass
    )
    x, y = round((at_m - 0.6) * scale), round(1.25 * scale)
    wall.paste((214, 208, 196), (x - 12, y + round(1.2 * scale), x + round(1.2 * scale) + 12, y + round(1.2 * scale) + 12))
    wall.paste((238, 238, 236), (x, y, x + round(1.2 * scale), y + round(1.2 * scale)))
    half = pane.resize((round(0.5 * scale), round(1.04 * scale)))
    for shift in (0.07, 0.63):
        wall.paste(half, (x + round(shift * scale), y + round(0.08 * scale)))
    return wall
