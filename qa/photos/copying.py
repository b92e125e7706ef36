"""Makes upright sRGB copies of a photograph that carry nothing but the picture.

A copy is a fresh JPEG: no Exif, no position, no profile, no comment, no embedded thumbnail. Bytes
in, bytes out: the same original gives the same copies.
"""

from __future__ import annotations

import io
from collections.abc import Sequence

from PIL import Image

from qa.photos.colour import flattened, to_srgb
from qa.photos.decoding import decode, size_within, upright_size

QUALITY = 82
"""JPEG quality: pinholes and strands stay crisp, at about 150 kB for a print copy of a textured
roof; 90 costs 45 % more bytes for a difference that print does not show (project choice)."""

_FILTER = Image.Resampling.BICUBIC
"""Keeps more of the finest detail than the linear filters and rings less than Lanczos."""

_T = Image.Transpose
_UPRIGHT = {
    2: _T.FLIP_LEFT_RIGHT,
    3: _T.ROTATE_180,
    4: _T.FLIP_TOP_BOTTOM,
    5: _T.TRANSPOSE,
    6: _T.ROTATE_270,
    7: _T.TRANSVERSE,
    8: _T.ROTATE_90,
}
"""Exif orientation to the turn that undoes it (CIPA DC-008, tag 0x0112)."""


def clean_copies(data: bytes, *, name: str, long_edges_px: Sequence[int]) -> tuple[bytes, ...]:
    """Make clean copies of one photograph from a single decoding.

    Args:
        data: the original, whole.
        name: its name as the record gives it, for the error's sentence.
        long_edges_px: the longer edge of each copy, largest first; a smaller original is not
            enlarged.

    Returns:
        One baseline JPEG for each edge, in the same order.

    Raises:
        PhotoError: the original cannot be decoded to its last row.
    """
    picture = decode(data, name=name, long_edge_px=long_edges_px[0])
    # Colours and turn are changed on the largest copy, not on the original: fewer pixels. Each
    # smaller copy is made from the one before it, but to a size that is reckoned from the original.
    size_px = picture.size_px
    copy = _resized(flattened(picture.image), size_within(size_px, long_edges_px[0]))
    copy = to_srgb(copy, picture.colour_profile)
    if picture.orientation != 1:
        copy = copy.transpose(_UPRIGHT[picture.orientation])
        size_px = upright_size(size_px, picture.orientation)
    copies = []
    for long_edge_px in long_edges_px:
        copy = _resized(copy, size_within(size_px, long_edge_px))
        copies.append(_jpeg(copy))
    return tuple(copies)


def _resized(image: Image.Image, size_px: tuple[int, int]) -> Image.Image:
    return image if image.size == size_px else image.resize(size_px, _FILTER, reducing_gap=2.0)


def _jpeg(image: Image.Image) -> bytes:
    image.info = {}  # the encoder would write the original's comment again
    file = io.BytesIO()
    # Baseline and 4:2:0: what every reader of PDF/A takes, and what the camera used itself.
    image.save(file, "JPEG", quality=QUALITY, subsampling="4:2:0")
    return file.getvalue()
