"""Somebody outside the firm with a link to a roof's job, and the photographs that it shows."""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import datetime

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from qa.services.access import Role
from qa.services.linking import Face, make_link
from qa.services.originals import hand_in
from qa.web import clock
from tests.flow.roof_visitor import OpenPage, RoofSite, Visitor

CAMERA = "Invented Camera 5000"
GPS_IFD, MAKER, MODEL, SERIAL = 0x8825, 0x010F, 0x0110, 0xA431


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Whoever holds a link.

    Attributes:
        path: of the first page, with a slash at its end.
    """

    visitor: Visitor
    path: str

    def open(self, below: str = "") -> OpenPage:
        """A page below the link."""
        return self.visitor.open(f"{self.path}{below}")

    def fetch(self, below: str = "") -> tuple[int, bytes]:
        """A file below the link."""
        with self.visitor.client.get(f"{self.path}{below}") as answer:
            return answer.status_code, answer.data


def holder(
    roof: RoofSite,
    face: Face,
    *,
    days: int | None = None,
    names: bool = False,
    now: datetime | None = None,
) -> Holder:
    """A link that was just made, in the hand of somebody who is signed in nowhere."""
    made = make_link(
        roof.site.installation,
        roof.site.actor(Role.OWNER),
        roof.job_id,
        face=face,
        recipient="Somebody Invented",
        days=days,
        shows_personal=names,
        now=now or clock.now(),
    )
    path = made.address.removeprefix(roof.site.origin)
    return Holder(visitor=Visitor(client=roof.site.app.test_client()), path=path)


def photo_with_place(shade: int = 7) -> bytes:
    """A photograph that says where it was taken, by which camera, with its serial number."""
    image = Image.new("RGB", (640, 480), (shade, 90, 120))
    exif = image.getexif()
    exif[MAKER], exif[MODEL] = "Nobody", CAMERA
    place = exif.get_ifd(GPS_IFD)
    place[1], place[2] = "N", (IFDRational(51), IFDRational(30), IFDRational(0))
    place[3], place[4] = "W", (IFDRational(0), IFDRational(7), IFDRational(30))
    file = io.BytesIO()
    image.save(file, "JPEG", exif=exif, comment=f"{CAMERA} {shade}")
    return file.getvalue()


def add_photo(roof: RoofSite, content: bytes, **fields: object) -> str:
    """Records a photograph and answers its digest."""
    photo = hand_in(
        roof.site.installation,
        roof.site.actor(Role.INSTALLER),
        io.BytesIO(content),
        name="1.jpg",
        now=clock.now(),
    )
    roof.add("photo", file=f"photos/{photo.sha256}.jpg", original=photo.sha256, **fields)
    return photo.sha256
