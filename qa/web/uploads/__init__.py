"""Photos that arrive in pieces: the routes of the resumable upload."""

from qa.web.uploads.routes import blueprint

__all__ = ["blueprint"]
