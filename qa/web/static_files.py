"""Style sheets, scripts and faces: one digest over all of them stands in every address.

So a browser may keep them for a year, and a new version of the program has new addresses. Style
sheets stand inside the page: on the edge of a signal it then shows with its first answer, 0.5 s
sooner than with a second round trip at 400 kb/s and 300 ms, for 4 kB more in each page
(`tests/bench/roof_pages.py`). The security policy of the page names their digests.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

import brotli
from flask import Flask, Response, current_app, g, request, url_for
from markupsafe import Markup
from werkzeug.exceptions import NotFound
from werkzeug.security import safe_join

FOLDER = Path(__file__).resolve().parents[1] / "static"
SERVED: Mapping[str, str] = MappingProxyType(
    {
        ".css": "text/css",
        ".js": "text/javascript",
        ".png": "image/png",
        ".svg": "image/svg+xml",
        ".woff2": "font/woff2",
    }
)
"""What browsers ask for, by suffix; the folder also holds what only packs use."""
_PACKED = frozenset({".png", ".woff2"})
A_YEAR_S = 365 * 24 * 3600
_KEY = "laidtrue.edition"
_SHEETS_KEY = "laidtrue.sheets"
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    element: Markup
    digest: str


def edition_of(folder: Path) -> str:
    """A short digest over every served file's name and bytes."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.suffix in SERVED:
            digest.update(f"{path.relative_to(folder).as_posix()}\n".encode())
            digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()[:12]


def serve_static(app: Flask) -> None:
    """Gives an application its files; its templates `asset` and `style_sheet`."""
    edition = edition_of(FOLDER)
    app.extensions[_KEY] = edition
    app.extensions[_SHEETS_KEY] = {
        path.stem: _sheet(path, edition) for path in (FOLDER / "site").glob("*.css")
    }
    app.jinja_env.globals.update(asset=asset, style_sheet=style_sheet)


def style_sheet(name: str) -> Markup:
    """A style sheet of qa/static/site as it stands inside a page; the page's policy names it."""
    sheet: _Sheet = current_app.extensions[_SHEETS_KEY][name]
    g.setdefault("sheets", {})[name] = sheet.digest
    return sheet.element


def sheet_digests() -> tuple[str, ...]:
    """The digests of the style sheets inside the page of this request, as a policy names them."""
    return tuple(g.get("sheets", {}).values())


def bare(text: str, edition: str) -> str:
    """A style sheet's text without comments, its addresses whole."""
    lines = (line.strip() for line in _COMMENT.sub("", text).splitlines())
    return "\n".join(line for line in lines if line).replace('url("../', f'url("/static/{edition}/')


def _sheet(path: Path, edition: str) -> _Sheet:
    text = bare(path.read_text(encoding="utf-8"), edition)
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    element = Markup(f"<style>{text}</style>")  # noqa: S704 - it is the program's own file
    return _Sheet(element=element, digest=f"sha256-{digest}")


def asset(name: str) -> str:
    """The address of a file below qa/static, such as "site/site.css"."""
    return url_for("site.asset", edition=current_app.extensions[_KEY], name=name)


def send_asset(edition: str, name: str) -> Response:
    """A file; one asked for by an older edition's address is not kept.

    Raises:
        NotFound: there is no such file, or it is not for browsers.
    """
    path = safe_join(str(FOLDER), name)
    kind = SERVED.get(Path(name).suffix)
    if path is None or kind is None or not Path(path).is_file():
        raise NotFound
    response = _response(Path(path), kind)
    if edition == current_app.extensions[_KEY]:
        response.headers["Cache-Control"] = f"public, max-age={A_YEAR_S}, immutable"
    else:
        response.headers["Cache-Control"] = "no-cache"
    return response


def _response(path: Path, kind: str) -> Response:
    """A file as the browser takes it; faces are packed already."""
    if path.suffix in _PACKED or not request.accept_encodings["br"]:
        return Response(path.read_bytes(), mimetype=kind)
    response = Response(_smallest(path), mimetype=kind)
    response.content_encoding = "br"
    response.vary.add("Accept-Encoding")
    return response


@lru_cache(maxsize=128)
def _smallest(path: Path) -> bytes:
    """A file by Brotli (RFC 7932) as small as can be, since it is packed once and sent often."""
    packed: bytes = brotli.compress(path.read_bytes(), quality=11)
    return packed
