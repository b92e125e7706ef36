"""A font configuration that knows the faces of the package and none of the machine's.

WeasyPrint's own begins with every font and rule of the system, so the same page would come out
differently on another machine. Ours begins empty; the style sheet's `@font-face` rules fill it.
"""

from __future__ import annotations

from pathlib import Path
from shutil import rmtree

from weasyprint.text.ffi import ffi, fontconfig, gobject, pangoft2
from weasyprint.text.fonts import FontConfiguration

# WeasyPrint declares only the functions of fontconfig that it calls itself.
ffi.cdef("FcConfig * FcConfigCreate (void);")


class ShippedFaces(FontConfiguration):  # type: ignore[misc]  # WeasyPrint carries no types
    """An empty font configuration; each document needs one of its own."""

    def __init__(self) -> None:
        # The parent's constructor would load the system's fonts; what follows is the rest of it.
        self._config = fontconfig.FcConfigCreate()
        self.font_map = ffi.gc(pangoft2.pango_ft2_font_map_new(), gobject.g_object_unref)
        pangoft2.pango_fc_font_map_set_config(
            ffi.cast("PangoFcFontMap *", self.font_map), self._config
        )
        fontconfig.FcConfigDestroy(self._config)  # the map keeps a reference of its own
        self._folder: Path | None = None
        self.strut_layouts: dict[object, object] = {}
        self.font_features: dict[object, object] = {}

    def __enter__(self) -> ShippedFaces:
        return self

    def __exit__(self, *failure: object) -> None:
        """Remove the copies of the faces, which the parent would do at some later time."""
        if self._folder:
            rmtree(self._folder, ignore_errors=True)
            self._folder = None
