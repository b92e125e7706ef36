"""What each check is about, in words, for lists that span specifications."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from qa.services.loading import GENERAL, named_specification


@cache
def check_quantities() -> Mapping[str, str]:
    """What is measured or seen, by the key of the check, as the built-in specification says it.

    Read once: the file is part of the program.
    """
    _, specification = named_specification(GENERAL)
    return MappingProxyType({key: check.quantity for key, check in specification.checks.items()})
