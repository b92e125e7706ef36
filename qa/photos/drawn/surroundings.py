"""What lies beyond the roof: sky, trees, neighbouring houses, the garden."""

from __future__ import annotations

from random import Random

from PIL import Image, ImageDraw

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Camera
from qa.photos.drawn.garden import foliage, garden
from qa.photos.drawn.light import Light, mixed, tinted, tinted_by
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
    picture = Image.new(
        "RGB", (far.width_px, far.height_px), light.shade((104, 122, 76), (0, 0, 1))
    )
    if horizon > -50:
        picture = _sky(picture.size, max(2, horizon), light, rng)
        _ground(picture, horizon, light, rng)
        _houses(picture, horizon, far.focal_px, light, rng)
        _trees(picture, horizon, far.focal_px, light, rng)
    plate = Plate(far, picture)
    garden(plate, rng, light, drop_m)
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


def _houses(picture: Image.Image, horizon: int, focal: float, light: Light, rng: Random) -> None:
    pen = ImageDraw.Draw(picture)
    x = rng.uniform(-0.3, 0.1) * picture.width
    while x < picture.width:
        far = rng.uniform(22, 45)
        scale = focal / far
        _house(pen, x, horizon, scale, light, rng)
        x += scale * rng.uniform(11, 22)


_WALLS: tuple[Colour, ...] = ((158, 104, 82), (176, 130, 100), (206, 198, 184), (150, 112, 96))
_TILES: tuple[Colour, ...] = ((112, 80, 70), (92, 88, 88), (126, 84, 66))


def _house(
    pen: ImageDraw.ImageDraw, x: float, horizon: int, scale: float, light: Light, rng: Random
) -> None:
    """Draw one house, its eaves a little above the horizon and its foot below."""
    wide, eaves, ridge = rng.uniform(7, 10) * scale, 1.9 * scale, 4.9 * scale
    wall = mixed(light.shade(rng.choice(_WALLS), (0.0, -0.9, 0.1)), light.haze, 0.22)
    tile = mixed(light.shade(rng.choice(_TILES), (0.0, -0.6, 0.8)), light.haze, 0.2)
    pen.rectangle((x, horizon - eaves, x + wide, horizon + 9 * scale), fill=wall)
    hip, out = rng.choice((0.05, 0.3, 0.5)) * wide, 0.3 * scale
    low, high = horizon - eaves, horizon - ridge
    gable = [(x - out, low), (x + hip, high), (x + wide - hip, high), (x + wide + out, low)]
    pen.polygon(gable, fill=tile)
    for course in range(1, 9):
        y, cut = low - (ridge - eaves) * course / 9, hip * course / 9
        pen.line([(x + cut, y), (x + wide - cut, y)], fill=tinted(tile, 0.9))
    stack = x + wide * rng.uniform(0.25, 0.7)
    top, foot = high - 1.0 * scale, high + 0.4 * scale
    pen.rectangle((stack, top, stack + 0.8 * scale, foot), fill=tinted(wall, 0.85))
    for window in range(2 + rng.randrange(2)):
        glass = mixed((62, 72, 84), light.haze, rng.uniform(0.1, 0.5))
        _window(pen, x + wide * (0.12 + 0.3 * window), horizon, scale, glass)


def _window(
    pen: ImageDraw.ImageDraw, left: float, horizon: int, scale: float, glass: Colour
) -> None:
    """Draw an upstairs window of two panes."""
    frame = (left, horizon - 1.3 * scale, left + 1.25 * scale, horizon)
    pen.rectangle(frame, fill=(226, 226, 222))
    for pane in (0.08, 0.67):
        start, end = left + pane * scale, left + (pane + 0.5) * scale
        pen.rectangle((start, horizon - 1.2 * scale, end, horizon - 0.1 * scale), fill=glass)


def _trees(picture: Image.Image, horizon: int, focal: float, light: Light, rng: Random) -> None:
    for _ in range(rng.randint(9, 16)):
        far = rng.uniform(16, 45)
        scale = focal / far
        side = round(rng.uniform(3.0, 7.0) * scale)
        crown = foliage(rng.randrange(6)).resize((side, round(side * rng.uniform(0.8, 1.3))))
        gain = light.on((0, 0, 1)) * 0.85
        lit = crown.convert("RGB").point(
            [min(255, round(i * gain * w)) for w in light.warmth for i in range(256)]
        )
        veil = Image.new("RGB", lit.size, light.haze)
        lit = Image.blend(lit, veil, min(0.45, far / 110))
        x = round(rng.uniform(-0.1, 1.0) * picture.width)
        y = round(horizon + (1.6 - rng.uniform(0.4, 0.9) * 2.2) * scale - crown.height * 0.35)
        picture.paste(lit, (x, y), crown.getchannel("A"))
