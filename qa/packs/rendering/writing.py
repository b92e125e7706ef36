"""Writes the objects of a PDF as bytes, in one pass.

In place of pydyf's writer, for three reasons: the end of a stream stands on a line of its own
whatever byte the stream ends with (ISO 19005-3, 6.1.7.1), objects are packed by the hundred, so
that a program that signs or verifies need not unpack all of them for one, and the file's identifier
is taken from the bytes as they pass, not from a second making of them.

Source: ISO 32000-1, 7.5 (file structure), 7.5.7 (object streams), 7.5.8 (cross-reference streams).
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Mapping, Sequence
from typing import Any

import pydyf

OBJECTS_PER_STREAM = 100

_HEADER = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"


class PdfWriter:
    """Collects the bytes of one PDF file."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []
        self._at = 0
        self._digest = hashlib.md5(usedforsecurity=False)
        self._places: dict[int, tuple[int, int, int]] = {0: (0, 0, 65535)}

    def write(self, pdf: Any) -> bytes:
        """Return the file.

        Args:
            pdf: a `pydyf.PDF` with all its objects.
        """
        if pdf.info:
            pdf.add_object(pdf.info)
        self._put(_HEADER)
        loose = [entry for entry in pdf.objects[1:] if isinstance(entry, pydyf.Stream)]
        packed = [entry for entry in pdf.objects[1:] if not isinstance(entry, pydyf.Stream)]
        for entry in loose:
            self._put_stream(entry.number, entry.extra, _content(entry), compress=entry.compress)
        number = len(pdf.objects)
        for at in range(0, len(packed), OBJECTS_PER_STREAM):
            self._put_packed(number, packed[at : at + OBJECTS_PER_STREAM])
            number += 1
        self._put_cross_references(number, pdf)
        return b"".join(self._parts)

    def _put(self, part: bytes) -> None:
        self._parts.append(part)
        self._at += len(part)
        self._digest.update(part)

    def _put_stream(
        self, number: int, extra: Mapping[str, object], content: bytes, *, compress: bool
    ) -> None:
        entries = dict(extra)
        if compress:
            content = zlib.compress(content, 6)
            entries["Filter"] = "/FlateDecode"
        entries["Length"] = len(content)
        self._places[number] = (1, self._at, 0)
        self._put(b"%d 0 obj\n%b\nstream\n" % (number, pydyf.Dictionary(entries).data))
        self._put(content)
        self._put(b"\r\nendstream\nendobj\n")

    def _put_packed(self, number: int, entries: Sequence[Any]) -> None:
        heads: list[str] = []
        body = bytearray()
        for index, entry in enumerate(entries):
            heads.append(f"{entry.number} {len(body)}")
            body += entry.data + b"\n"
            self._places[entry.number] = (2, number, index)
        head = " ".join(heads).encode() + b"\n"
        extra = {"Type": "/ObjStm", "N": len(entries), "First": len(head)}
        self._put_stream(number, extra, head + body, compress=True)

    def _put_cross_references(self, number: int, pdf: Any) -> None:
        start = self._at
        self._places[number] = (1, start, 0)
        widths = (1, (start.bit_length() + 7) // 8, 2)
        table = b"".join(
            value.to_bytes(width, "big")
            for place in range(number + 1)
            for value, width in zip(self._places[place], widths, strict=True)
        )
        identifier = b"<%b>" % self._digest.hexdigest().encode()
        extra: dict[str, object] = {
            "Type": "/XRef",
            "Size": number + 1,
            "W": pydyf.Array(widths),
            "Root": pdf.catalog.reference,
            "ID": pydyf.Array([identifier, identifier]),
        }
        if pdf.info:
            extra["Info"] = pdf.info.reference
        self._put_stream(number, extra, table, compress=True)
        self._put(b"startxref\n%d\n%%%%EOF\n" % start)


def _content(stream: Any) -> bytes:
    parts = stream.stream
    if len(parts) == 1 and isinstance(parts[0], pydyf.Object):
        return bytes(parts[0].data)  # a picture, as it stands in its file
    return b"\n".join(map(_operand, parts))


def _operand(part: Any) -> bytes:
    if isinstance(part, bytes):
        return part
    if isinstance(part, pydyf.Object):
        return bytes(part.data)
    return str(part).encode("ascii")
