"""Lengths in a photograph, reckoned from a line of known length in the same picture.

True only where both lines lie at the same distance from the camera and across its view: perspective
makes what is nearer longer. What comes out is an estimate, and this module gives no uncertainty for
it, because a picture alone does not hold one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from qa.trade.domain import require_positive

Ends = tuple[tuple[float, float], tuple[float, float]]
"""Both ends of a line, as shares of the picture's width and height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureShape:
    """Width and height of an upright picture, both above 0, in any unit."""

    width: float
    height: float

    def __post_init__(self) -> None:
        require_positive("width of the picture", self.width)
        require_positive("height of the picture", self.height)


def estimated_length_mm(
    line: Ends, *, reference: Ends, reference_mm: float, shape: PictureShape
) -> float:
    """The length of a line by a line of known length.

    Args:
        line: the line that is measured.
        reference: the line of known length; its ends are apart.
        reference_mm: that length, above 0 mm.
        shape: of the picture.

    Raises:
        DomainError: the reference has no length.

    Source: similar triangles, for two lines in one plane that the camera looks at squarely.
    """
    across = _span(reference, shape)
    require_positive("length of the reference in the picture", across)
    return reference_mm * _span(line, shape) / across


def _span(ends: Ends, shape: PictureShape) -> float:
    (left, top), (right, bottom) = ends
    return math.hypot((right - left) * shape.width, (bottom - top) * shape.height)
