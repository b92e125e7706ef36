"""Pictures as a camera writes them: each another one, with the time that its clock showed."""

from __future__ import annotations

import io
from datetime import datetime

from PIL import Image

_EXIF_DIRECTORY, _TAKEN, _ZONE = 0x8769, 0x9003, 0x9011


def shot(shade: int, taken: datetime | None, *, zone: str | None = None) -> bytes:
    """A small JPEG.

    Args:
        shade: each is another picture.
        taken: what the camera's clock showed; None leaves it out.
        zone: the clock's offset as Exif writes it, "+01:00"; None leaves it out.
    """
    exif = Image.Exif()
    if taken is not None:
        camera = exif.get_ifd(_EXIF_DIRECTORY)
        camera[_TAKEN] = f"{taken:%Y:%m:%d %H:%M:%S}"
        if zone:
            camera[_ZONE] = zone
    file = io.BytesIO()
    colour = (shade % 256, 40 + shade // 256 % 200, 90)
    picture = Image.new("RGB", (320, 240), colour)
    picture.save(file, "JPEG", quality=85, comment=f"shot {shade}", exif=exif)
    return file.getvalue()
