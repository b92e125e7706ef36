"""What the names of many marks have in common, so that a drawing writes it only once."""

from __future__ import annotations

from collections.abc import Sequence


def shared_start(keys: Sequence[str]) -> str:
    """Return what all keys begin with, where nothing but a number is left of each.

    >>> _shared_start(["mix-1", "mix-12"]), _shared_start(["mix-a", "mix-b"])
    ('mix-', '')
    """
    first = keys[0].rstrip("0123456789") if keys else ""
    rests = [key.removeprefix(first) for key in keys if key.startswith(first)]
    is_shared = len(rests) == len(keys) and all(rest.isdigit() for rest in rests)
    return first if is_shared else ""
