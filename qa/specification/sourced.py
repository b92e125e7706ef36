"""Numbers that say where they come from: every figure of a specification is one of these."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """Where a limit comes from."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    PROJECT_CHOICE = "project choice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """The basis of a figure and the sentence that names its source."""

    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure(Sourced):
    """One sourced number with its unit."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes(Sourced):
    """The containers that a material is sold in, each by its content."""

    values: tuple[float, ...]
    unit: str
