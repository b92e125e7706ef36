"""What is known about one original photograph, as values.

Everything read from EXIF is a claim of the camera, not a proof: it is kept beside the record's own
times and places and never put in their stead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraFacts:
    """What the camera wrote beside the picture; None wherever it wrote nothing usable.

    Attributes:
        orientation: the turn still to be applied, 1 to 8 (Exif tag 0x0112); 1 is upright.
        taken_at: when the shutter opened, with the camera's own offset from UTC.
        taken_at_naive: the same by the camera's clock alone. Without an offset it is no instant:
            nothing may compare it with a time of the record.
        gps_at: time of the position fix, UTC. It may be older than the photograph.
        latitude_deg: degrees, north positive, -90 to 90.
        longitude_deg: degrees, east positive, -180 to 180.
        altitude_m: metres above sea level.
        position_error_m: the receiver's own estimate of its horizontal error, metres.
        camera_make: the maker's name as the camera wrote it.
        camera_model: the model's name as the camera wrote it.
    """

    orientation: int = 1
    taken_at: datetime | None = None
    taken_at_naive: datetime | None = None
    gps_at: datetime | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    position_error_m: float | None = None
    camera_make: str | None = None
    camera_model: str | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.orientation <= 8:
            raise ValueError(f"orientation is {self.orientation}; it must be 1 to 8.")
        for moment in (self.taken_at, self.gps_at):
            if moment is not None and moment.tzinfo is None:
                raise ValueError(f"{moment} has no offset from UTC.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoFacts(CameraFacts):
    """An original photograph: its identity, its shape, and what its camera said.

    Attributes:
        sha256: SHA-256 of the whole file, 64 lower-case hexadecimal digits.
        bytes: length of the file.
        media_type: "image/jpeg", "image/png" or "image/heic".
        width_px: width once upright.
        height_px: height once upright.
    """

    sha256: str
    bytes: int
    media_type: str
    width_px: int
    height_px: int

    def __post_init__(self) -> None:
        # Named, not super(): a slotted dataclass is a second class, which super() does not know.
        CameraFacts.__post_init__(self)
        if not _SHA256.fullmatch(self.sha256):
            raise ValueError(f"sha256 is {self.sha256!r}; it must be 64 hexadecimal digits.")
        if min(self.bytes, self.width_px, self.height_px) < 1:
            raise ValueError("a photograph has at least one byte, one column and one row.")
