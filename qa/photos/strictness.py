"""Holds Pillow's process-wide settings strict while any thread of the process decodes.

Importing the PDF library switches on tolerance for truncated files, after which half a JPEG loads
silently. Pillow's own limit on pixels is put aside for the limits of `qa.photos.decoding`, and its
warnings about odd metadata are not for the people who run the program.
"""

from __future__ import annotations

import threading
import warnings
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager

from PIL import Image, ImageFile


class _Strictness:
    """Switched on by the first thread that decodes, and back by the last."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._holders = 0
        self._undo = ExitStack()

    @contextmanager
    def held(self) -> Iterator[None]:
        with self._lock:
            if self._holders == 0:
                self._enter()
            self._holders += 1
        try:
            yield
        finally:
            with self._lock:
                self._holders -= 1
                if self._holders == 0:
                    self._undo.close()

    def _enter(self) -> None:
        self._undo.enter_context(warnings.catch_warnings())
        warnings.filterwarnings("ignore", module=r"PIL\.")
        tolerance, pixels = ImageFile.LOAD_TRUNCATED_IMAGES, Image.MAX_IMAGE_PIXELS
        self._undo.callback(setattr, ImageFile, "LOAD_TRUNCATED_IMAGES", tolerance)
        self._undo.callback(setattr, Image, "MAX_IMAGE_PIXELS", pixels)
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        Image.MAX_IMAGE_PIXELS = None


strict_decoding = _Strictness().held
"""`with strict_decoding():` around every decoding; nests, and threads may overlap."""
