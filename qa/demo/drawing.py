"""Drawing the demonstration's pictures, on two cores."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from hashlib import sha256
from pathlib import Path

from qa.photos.drawn import DrawnPhoto, draw
from qa.record.sealing import PhotoFile

_WORKERS = 2


def draw_all(
    pictures: Sequence[tuple[str, DrawnPhoto]],
    folder: Path,
    *,
    progress: Callable[[int, int], None] | None = None,
) -> Mapping[str, PhotoFile]:
    """Draws pictures and writes them as files.

    Processes, not threads: drawing is mostly Python, which threads would do one after another.

    Args:
        pictures: the name of each in the record, and what it is.
        folder: the folder that those names stand in; made as needed.
        progress: told how many are drawn, and of how many.

    Returns:
        What a ledger notes of each file, by its name.
    """
    for name, _ in pictures:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
    facts: dict[str, PhotoFile] = {}
    # Started afresh, not forked: the caller may have threads.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(_WORKERS, mp_context=fresh) as pool:
        for name, fact in pool.map(partial(_draw_one, folder), pictures):
            facts[name] = fact
            if progress is not None:
                progress(len(facts), len(pictures))
    return facts


def _draw_one(folder: Path, picture: tuple[str, DrawnPhoto]) -> tuple[str, PhotoFile]:
    name, photo = picture
    content = draw(photo)
    (folder / name).write_bytes(content)
    return name, PhotoFile(
        sha256=sha256(content).hexdigest(), bytes=len(content), media_type="image/jpeg"
    )
