"""Pages that belong to nobody: help, files, and how the installation is."""

from qa.web.site.pages import blueprint

__all__ = ["blueprint"]
