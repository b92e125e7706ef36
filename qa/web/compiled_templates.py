"""Compiled templates, kept for every application of the process.

A process that makes several applications, as the tests do, compiles each template once. Nothing is
kept on the disk: what was compiled there would be a program that somebody could change.
"""

from __future__ import annotations

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket


class CompiledTemplates(BytecodeCache):
    """Compiled templates in memory, by the digest that the library makes of name and source."""

    def __init__(self) -> None:
        """Holds none."""
        self._held: dict[tuple[str, str], bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Gives a template's bucket what was compiled of it before."""
        held = self._held.get((bucket.key, bucket.checksum))
        if held is not None:
            bucket.bytecode_from_string(held)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keeps what was compiled."""
        self._held[bucket.key, bucket.checksum] = bucket.bytecode_to_string()
