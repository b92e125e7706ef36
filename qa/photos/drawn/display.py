"""A hand instrument with a display, as nobody makes it: a plain body, figures, a unit."""

from __future__ import annotations

from PIL import Image, ImageDraw, ImageFilter, ImageFont

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate

PX_PER_MM = 6
LCD: Colour = (176, 188, 166)
INK: Colour = (34, 40, 36)
_SEGMENTS = {
    "0": "abcdef", "1": "bc", "2": "abged", "3": "abgcd", "4": "fgbc", "5": "afgcd",
    "6": "afgedc", "7": "abc", "8": "abcdefg", "9": "abcdfg", "-": "g", " ": "",
}  # fmt: skip


def _digit(
    pen: ImageDraw.ImageDraw, x: float, y: float, height: float, sign: str, ink: Colour
) -> None:
    """Draw one figure of seven bars, leaning a little."""
    w, t = height * 0.5, height * 0.115
    bars = {
        "a": ((0, 0), (w, 0)), "b": ((w, 0), (w, height / 2)), "c": ((w, height / 2), (w, height)),
        "d": ((0, height), (w, height)), "e": ((0, height / 2), (0, height)),
        "f": ((0, 0), (0, height / 2)), "g": ((0, height / 2), (w, height / 2)),
    }  # fmt: skip
    for name in _SEGMENTS[sign]:
        (x0, y0), (x1, y1) = bars[name]
        flat = y0 == y1
        gap = t * 0.62
        ends = ((x0 + gap, y0), (x1 - gap, y1)) if flat else ((x0, y0 + gap), (x1, y1 - gap))
        lean = [(x + a + (height - b) * 0.09, y + b) for a, b in ends]
        side = (0.0, t / 2) if flat else (t / 2, 0.0)
        tip = (t / 2, 0.0) if flat else (0.0, t / 2)
        (ax, ay), (bx, by) = lean
        pen.polygon(
            [
                (ax - tip[0], ay - tip[1]),
                (ax + side[0], ay - side[1]),
                (bx + side[0], by - side[1]),
                (bx + tip[0], by + tip[1]),
                (bx - side[0], by + side[1]),
                (ax - side[0], ay + side[1]),
            ],
            fill=ink,
        )


def figures(
    pen: ImageDraw.ImageDraw, right: float, y: float, height: float, text: str, ink: Colour = INK
) -> None:
    """Draw a number in bars, its right end at `right`."""
    step = height * 0.76
    x = right
    for sign in reversed(text):
        if sign == ".":
            r = height * 0.07
            pen.ellipse((x - r * 2.6, y + height - r, x - r * 0.6, y + height + r), fill=ink)
            x -= height * 0.24
            continue
        x -= step
        _digit(pen, x, y, height, sign, ink)


def screen(width: int, height: int, lines: tuple[tuple[str, str], ...]) -> Image.Image:
    """Return a display with one number and its unit on each line."""
    glass = Image.new("RGB", (width, height), LCD)
    pen = ImageDraw.Draw(glass)
    each = height / len(lines)
    for index, (number, unit) in enumerate(lines):
        tall = min(each * 0.58, width * 0.66 / (0.80 * max(3, len(number.replace(".", "")))))
        font = ImageFont.load_default(max(14, round(tall * 0.40)))
        y = each * index + (each - tall) / 2
        figures(pen, width * 0.72 + 3, y + 4, tall, number, tinted(LCD, 0.86))
        figures(pen, width * 0.72, y, tall, number)
        pen.text((width * 0.755, y + tall), unit, font=font, fill=INK, anchor="ls")
    sheen = Image.linear_gradient("L").rotate(90).resize(glass.size)
    glass = noise.shaded(glass, noise.squeezed(sheen, 222, 255))
    pen = ImageDraw.Draw(glass)
    pen.line([(0, 0), (width, 0)], fill=(70, 76, 70), width=6)
    pen.line([(0, 0), (0, height)], fill=(92, 98, 92), width=5)
    return glass


def face(
    width_mm: int, height_mm: int, title: str, lines: tuple[tuple[str, str], ...], accent: Colour
) -> Image.Image:
    """Return an instrument's body from above, RGBA."""
    size = (width_mm * PX_PER_MM, height_mm * PX_PER_MM)
    body = Image.new("RGBA", size, (0, 0, 0, 0))
    pen = ImageDraw.Draw(body)
    round_px = width_mm * PX_PER_MM // 6
    pen.rounded_rectangle((2, 2, size[0] - 3, size[1] - 3), round_px, fill=(*accent, 255))
    inset = 3 * PX_PER_MM
    pen.rounded_rectangle(
        (inset, inset, size[0] - inset, size[1] - inset), round_px * 3 // 4, fill=(52, 55, 58, 255)
    )
    tall = round(size[1] * (0.22 + 0.11 * len(lines)))
    box = (inset * 3, inset * 4, size[0] - inset * 3, inset * 4 + tall)
    pen.rounded_rectangle(
        tuple(v + d for v, d in zip(box, (-9, -9, 9, 9), strict=True)), 14, fill=(22, 23, 24, 255)
    )
    body.paste(screen(box[2] - box[0], box[3] - box[1], lines), box[:2])
    pen.text(
        (size[0] / 2, box[3] + 30),
        title,
        font=ImageFont.load_default(27),
        fill=(206, 208, 208),
        anchor="mm",
    )
    _buttons(pen, size, box[3] + 56)
    return _moulded(body)


def _buttons(pen: ImageDraw.ImageDraw, size: noise.Size, top: float) -> None:
    middle = (top + size[1]) / 2 - 10
    reach = size[0] * 0.11
    for x, colour in ((0.3, (88, 92, 96)), (0.7, (88, 92, 96))):
        for grow, tone in ((1.14, 0.5), (1.0, 1.0), (0.82, 1.12)):
            r = reach * grow
            pen.ellipse(
                (size[0] * x - r, middle - r, size[0] * x + r, middle + r),
                fill=(*tinted(colour, tone), 255),
            )
    font = ImageFont.load_default(25)
    pen.text((size[0] * 0.3, middle), "on", font=font, fill=(230, 230, 230), anchor="mm")
    pen.text((size[0] * 0.7, middle), "hold", font=font, fill=(230, 230, 230), anchor="mm")


def _moulded(body: Image.Image) -> Image.Image:
    """Round the edges of a body with light from the upper left, and dull its surface a little."""
    alpha = body.getchannel("A")
    soft = alpha.filter(ImageFilter.GaussianBlur(7))
    edge = soft.filter(ImageFilter.Kernel((3, 3), (-1, -1, 0, -1, 0, 1, 0, 1, 1), 0.35, 128))
    lit = Image.composite(body.convert("RGB"), Image.new("RGB", body.size), alpha)
    lit = noise.weathered(lit, edge, 0.55)
    lit.putalpha(alpha)
    return lit


def set_down(
    plate: Plate, light: Light, body: Image.Image, corner_m: Point, turn: Point, thick_m: float
) -> None:
    """Lay an instrument on a level surface: its sides first, layer by layer, then its face.

    Args:
        plate: the plate.
        light: sun and sky.
        body: the face from above.
        corner_m: where its far left corner lies.
        turn: the unit vector along its upper edge.
        thick_m: how thick it is.
    """
    wide, tall = (side / PX_PER_MM / 1000 for side in body.size)
    across = (turn[0] * wide, turn[1] * wide, 0.0)
    along = (turn[1] * tall, -turn[0] * tall, 0.0)
    dark = Image.new("RGB", body.size, (34, 36, 38))
    dark.putalpha(body.getchannel("A"))
    small = dark.reduce(4)
    layers = 9
    for layer in range(layers):
        plate.lay(small, (*corner_m, thick_m * layer / layers), across, along)
    gain = light.on((0.0, 0.0, 1.0)) / 0.85
    face_lit = body.point([min(255, round(i * gain)) for i in range(256)] * 3 + list(range(256)))
    plate.lay(face_lit, (*corner_m, thick_m), across, along)


def shadow_of(
    plan: Plan, light: Light, size_px: noise.Size, corner_m: Point, turn: Point, thick_m: float
) -> None:
    """Darken the surface under and beside an instrument."""
    wide, tall = (side / PX_PER_MM / 1000 for side in size_px)
    x, y = corner_m
    corners = [
        (x, y), (x + turn[0] * wide, y + turn[1] * wide),
        (x + turn[0] * wide + turn[1] * tall, y + turn[1] * wide - turn[0] * tall),
        (x + turn[1] * tall, y - turn[0] * tall),
    ]  # fmt: skip
    reach = thick_m / max(0.35, light.sun[2])
    shift = (-light.sun[0] * reach, -light.sun[1] * reach)
    plan.shadow([corners], 0.008, 0.45)
    if light.direct > 0.3:
        moved = [(a + shift[0], b + shift[1]) for a, b in corners]
        plan.shadow([moved], 0.003, 0.5 * light.direct)
