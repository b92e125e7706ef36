"""Clean copies of photographs against a bare loop of the same decoder, both on two cores.

Twenty-four photographs of 12 megapixels, about 3 MB each, are drawn for the run: a wide range of
detail and the noise of a sensor, so that the decoder has a camera's work to do. Ours is
`RenditionCache.ensure` with nothing in the cache: it also reads the digest of each original, judges
it, decodes strictly, drops all metadata, names each copy by its digest and flushes it to the disk.

The bare loop is the best plain use of the decoder for the same result: one reduced decoding with
the true target size, then the three copies one from another, with the same filter and quality,
saved without more ado. Decoding anew for each size would be slower, one size alone less work. Its
two processes are started before the clock, so that it pays for nothing but its copies.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from hashlib import sha256
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import perf_counter

from PIL import Image

from qa.photos.copying import QUALITY
from qa.photos.renditions import Original, RenditionCache, Size
from tests.bench.line import BenchLine

PHOTOS = 24
SIZE_PX = (4032, 3024)
WORKERS = 2
ROUNDS = 8
BOUND = 0.9


def run() -> Iterable[BenchLine]:
    """Measure both in turn, in short rounds, and compare the best: the least disturbed of each."""
    spawn = multiprocessing.get_context("spawn")
    with TemporaryDirectory() as folder, ProcessPoolExecutor(WORKERS, mp_context=spawn) as pool:
        place = Path(folder)
        photos = list(pool.map(partial(_drawn_photo, place), range(PHOTOS)))
        originals = [_original(path) for path in photos]
        ours_s, bare_s = [], []
        for number in range(ROUNDS):
            cache = RenditionCache(place / f"cache-{number}")
            ours_s.append(_seconds(partial(cache.ensure, originals, workers=WORKERS)))
            bare_s.append(_seconds(lambda: list(pool.map(partial(_bare_copies, place), photos))))
    ours, reference = PHOTOS / min(ours_s), PHOTOS / min(bare_s)
    yield BenchLine(
        name=f"renditions, {len(Size)} sizes of {PHOTOS} photos of 12 MP, two cores",
        figure=ours,
        unit="photos/s",
        reference=reference,
        ratio=ours / reference,
        bound=BOUND,
        at_most=False,
    )


def _bare_copies(place: Path, photo: Path) -> None:
    image = Image.open(photo)
    screen, *smaller = (size.long_edge_px for size in Size)
    image.draft("RGB", (screen, screen * image.height // image.width))
    for edge_px in (screen, *smaller):
        image.thumbnail((edge_px, edge_px))
        image.save(place / f"bare-{photo.stem}-{edge_px}.jpg", quality=QUALITY)


def _seconds(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def _original(path: Path) -> Original:
    return Original(name=path.name, path=path, sha256=sha256(path.read_bytes()).hexdigest())


def _drawn_photo(place: Path, number: int) -> Path:
    """Draw detail at four scales under a sensor's noise; the same number draws the same photo."""
    chance = Random(number)
    picture = Image.new("RGB", SIZE_PX, (150, 140, 120))
    for across, strength in ((12, 0.3), (60, 0.25), (300, 0.2), (1200, 0.15)):
        coarse = _noise(chance, (across, across * 3 // 4)).resize(SIZE_PX, Image.Resampling.BICUBIC)
        picture = Image.blend(picture, coarse, strength)
    picture = Image.blend(picture, _noise(chance, SIZE_PX), 0.06)
    path = place / f"{number:03}.jpg"
    picture.save(path, quality=90)
    return path


def _noise(chance: Random, size_px: tuple[int, int]) -> Image.Image:
    width_px, height_px = size_px
    return Image.frombytes("RGB", size_px, chance.randbytes(width_px * height_px * 3))
