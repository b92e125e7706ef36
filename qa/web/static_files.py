"""Style sheets, scripts and faces: one digest over all of them stands in every address.

So a browser may keep them for a year, and a new version of the program has new addresses.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from flask import Flask, Response, current_app, request, url_for
from werkzeug.exceptions import NotFound
from werkzeug.utils import safe_join

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


def edition_of(folder: Path) -> str:
    """A short digest over every served file's name and bytes."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.suffix in SERVED:
            digest.update(f"{path.relative_to(folder).as_posix()}\n".encode())
            digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()[:12]


def serve_static(app: Flask) -> None:
    """Gives an application its files and its templates the function `asset`."""
    app.extensions[_KEY] = edition_of(FOLDER)
    app.jinja_env.globals["asset"] = asset


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
    return response.make_conditional(request)
