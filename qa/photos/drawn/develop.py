"""From the plate to the file: lens, grain, the strip that says "drawn", and the JPEG."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from io import BytesIO
from random import Random

from PIL import ExifTags, Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from qa.photos.drawn import noise
from qa.photos.drawn.bounds import require
from qa.photos.drawn.light import Light

MARK = "DRAWN FOR THE DEMONSTRATION JOB  ·  not a photograph"
DESCRIPTION = "Drawn for the demonstration job, not a photograph"
"""The mark for EXIF, which is ASCII."""

MAKE = "drawn"
MODEL = "laidtrue demo"
STRIP_PX = 34
QUALITY = 82


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place that a picture claims in its EXIF block.

    Attributes:
        latitude_deg: north is positive.
        longitude_deg: east is positive.
    """

    latitude_deg: float
    longitude_deg: float

    def __post_init__(self) -> None:
        require("latitude, degrees", self.latitude_deg, -90, 90)
        require("longitude, degrees", self.longitude_deg, -180, 180)


def developed(
    image: Image.Image, light: Light, rng: Random, sharp_rows: tuple[float, float] | None
) -> Image.Image:
    """Return the plate as a small camera would have kept it.

    Args:
        image: the plate.
        light: gives white balance and exposure.
        rng: chooses the grain.
        sharp_rows: the rows between which all is sharp, as shares of the height; None if all is.
    """
    if sharp_rows is not None:
        image = _out_of_focus(image, sharp_rows)
    image = image.point([v for gain in light.warmth for v in _tones(gain * light.exposure)])
    image = noise.shaded(image, _vignette(image.size))
    image = ImageChops.add(image, noise.film(image.size, rng.randrange(3)), 1, -128)
    return _marked(image)


def _tones(gain: float) -> list[int]:
    """Return a channel's curve: gain, then a gentle S with a soft shoulder."""
    curve = []
    for level in range(256):
        x = min(1.0, level * gain / 255)
        s = x * x * (3 - 2 * x)
        curve.append(min(252, round((0.68 * x + 0.32 * s) * 255) + 3))
    return curve


@lru_cache(maxsize=4)
def _vignette(size: noise.Size) -> Image.Image:
    disc = Image.radial_gradient("L").resize(size)
    return disc.point([255 - max(0, i - 70) * max(0, i - 70) // 520 for i in range(256)])


def _out_of_focus(image: Image.Image, sharp_rows: tuple[float, float]) -> Image.Image:
    """Soften what lies above and below the sharp rows, the more the farther it is from them."""
    width, height = image.size
    top, bottom = round(sharp_rows[0] * height), round(sharp_rows[1] * height)
    ramp = Image.linear_gradient("L")
    for box, far in (((0, 0, width, top), True), ((0, bottom, width, height), False)):
        rows = box[3] - box[1]
        if rows < 8:
            continue
        sharp = image.crop(box)
        soft = sharp.reduce(4).filter(ImageFilter.GaussianBlur(0.9))
        soft = soft.resize(sharp.size, Image.Resampling.BICUBIC)
        full = min(1.0, rows / height * 3.5)
        away = ramp.point([round((255 - i if far else i) * full) for i in range(256)])
        image.paste(Image.composite(soft, sharp, away.resize(sharp.size)), box)
    return image


@lru_cache(maxsize=2)
def _strip(width: int) -> Image.Image:
    strip = Image.new("RGB", (width, STRIP_PX), (24, 25, 26))
    pen = ImageDraw.Draw(strip)
    font = ImageFont.load_default(19)
    pen.text((width / 2, STRIP_PX / 2), MARK, font=font, fill=(226, 226, 222), anchor="mm")
    return strip


def _marked(image: Image.Image) -> Image.Image:
    image.paste(_strip(image.width), (0, image.height - STRIP_PX))
    return image


def exif_of(taken_at: datetime, size: noise.Size, place: Place | None, iso: int) -> Image.Exif:
    """Return the EXIF block that a phone would write, with no real camera's name."""
    exif = Image.Exif()
    stamp = taken_at.strftime("%Y:%m:%d %H:%M:%S")
    offset = taken_at.strftime("%z")
    offset = f"{offset[:3]}:{offset[3:5]}"
    base, detail = ExifTags.Base, exif.get_ifd(ExifTags.IFD.Exif)
    exif[base.Make], exif[base.Model], exif[base.Orientation] = MAKE, MODEL, 1
    exif[base.DateTime], exif[base.ImageDescription] = stamp, DESCRIPTION
    detail[base.ExifVersion] = b"0232"
    detail[base.DateTimeOriginal] = detail[base.DateTimeDigitized] = stamp
    detail[base.OffsetTime] = detail[base.OffsetTimeOriginal] = offset
    detail[base.OffsetTimeDigitized] = offset
    detail[base.ExifImageWidth], detail[base.ExifImageHeight] = size
    detail[base.ISOSpeedRatings] = iso
    detail[base.FNumber], detail[base.FocalLength] = 1.8, 4.2
    if place is not None:
        _locate(exif, place)
    return exif


def _locate(exif: Image.Exif, place: Place) -> None:
    gps, ifd = ExifTags.GPS, exif.get_ifd(ExifTags.IFD.GPSInfo)
    ifd[gps.GPSVersionID] = b"\x02\x03\x00\x00"
    ifd[gps.GPSLatitudeRef] = "N" if place.latitude_deg >= 0 else "S"
    ifd[gps.GPSLatitude] = _sexagesimal(place.latitude_deg)
    ifd[gps.GPSLongitudeRef] = "E" if place.longitude_deg >= 0 else "W"
    ifd[gps.GPSLongitude] = _sexagesimal(place.longitude_deg)


def _sexagesimal(degrees: float) -> tuple[float, float, float]:
    seconds = abs(degrees) * 3600
    return (float(seconds // 3600), float(seconds % 3600 // 60), round(seconds % 60, 2))


def jpeg(image: Image.Image, exif: Image.Exif) -> bytes:
    """Return the finished file."""
    out = BytesIO()
    image.save(out, "JPEG", quality=QUALITY, subsampling="4:2:0", exif=exif.tobytes())
    return out.getvalue()
