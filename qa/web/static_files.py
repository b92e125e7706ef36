"""The style sheet, scripts and faces: one digest over all of them stands in every address.

So a browser may keep them for a year, and a new version of the program has new addresses. The style
sheet alone stands inside every page: on the edge of a signal a page then shows with its first
answer, 0.5 s sooner than with a second round trip at 400 kb/s and 300 ms, for 4 kB more in each
page (`tests/bench/roof_pages.py`). The security policy names its digest.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import cast

from flask import Flask, Response, current_app, request, url_for
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
A_YEAR_S = 365 * 24 * 3600
_KEY = "laidtrue.edition"
_SHEET_KEY = "laidtrue.sheet"
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


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
    sheet = style_sheet(FOLDER, edition)
    app.extensions[_KEY] = edition
    app.extensions[_SHEET_KEY] = digest_of(sheet)
    markup = Markup(sheet)  # noqa: S704 - it is the program's own file
    app.jinja_env.globals.update(asset=asset, style_sheet=markup)


def style_sheet(folder: Path, edition: str) -> str:
    """The site's style sheet as it stands inside a page: without comments, addresses whole."""
    text = (folder / "site" / "site.css").read_text(encoding="utf-8")
    lines = (line.strip() for line in _COMMENT.sub("", text).splitlines())
    bare = "\n".join(line for line in lines if line)
    return bare.replace('url("../', f'url("/static/{edition}/')


def digest_of(sheet: str) -> str:
    """A text's digest as a security policy names it."""
    digest = hashlib.sha256(sheet.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


def sheet_digest() -> str:
    """The digest of the style sheet that stands inside every page."""
    return cast("str", current_app.extensions[_SHEET_KEY])


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
    response = Response(Path(path).read_bytes(), mimetype=kind)
    response.add_etag()
    if edition == current_app.extensions[_KEY]:
        response.headers["Cache-Control"] = f"public, max-age={A_YEAR_S}, immutable"
    else:
        response.headers["Cache-Control"] = "no-cache"
    response.make_conditional(request)
    return response
