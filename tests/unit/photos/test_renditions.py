"""The cache makes what is missing, once, and the same bytes by whomever."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

import pytest

from qa.errors import PhotoError
from qa.photos.renditions import Original, Rendition, RenditionCache, Size
from tests.unit.photos.sample_photos import CORNERS, corners, file_of, image_of, put, scene

PHOTOS = 5


def _original(folder: Path, name: str, data: bytes) -> Original:
    return Original(name=name, path=put(folder, name, data), sha256=sha256(data).hexdigest())


@pytest.fixture
def originals(tmp_path: Path) -> tuple[Original, ...]:
    folder = tmp_path / "photos"
    folder.mkdir()
    sizes = [(1700 + 8 * number, 1200) for number in range(PHOTOS)]
    return tuple(_original(folder, f"{w}.jpg", file_of(scene((w, h)))) for w, h in sizes)


@pytest.fixture
def cache(tmp_path: Path) -> RenditionCache:
    return RenditionCache(tmp_path / "copies")


def _bytes(renditions: Sequence[Rendition]) -> list[bytes]:
    return [rendition.path.read_bytes() for rendition in renditions]


def test_every_photo_has_every_size(cache: RenditionCache, originals: Sequence[Original]) -> None:
    made = cache.ensure(originals[:2])
    assert [(one.sha256, one.size) for one in made] == [
        (photo.sha256, size) for photo in originals[:2] for size in Size
    ]
    for rendition, jpeg in zip(made, _bytes(made), strict=True):
        assert max(image_of(jpeg).size) == rendition.size.long_edge_px
        assert corners(image_of(jpeg)) == CORNERS


def test_print_copy_is_300_dpi_at_85_mm() -> None:
    assert Size.PRINT.long_edge_px == pytest.approx(85 / 25.4 * 300, rel=0.005)


def test_two_workers_make_the_same_bytes(
    tmp_path: Path, cache: RenditionCache, originals: Sequence[Original]
) -> None:
    alone = RenditionCache(tmp_path / "alone").ensure(originals, workers=1)
    together = cache.ensure(originals, workers=2)
    assert _bytes(alone) == _bytes(together)
    assert [one.path.name for one in alone] == [one.path.name for one in together]


def test_copies_in_place_are_not_made_again(
    cache: RenditionCache, originals: Sequence[Original]
) -> None:
    first = cache.ensure(originals[:2])
    for photo in originals[:2]:
        photo.path.unlink()
    assert cache.ensure(originals[:2]) == first


def test_altered_copy_is_made_again(cache: RenditionCache, originals: Sequence[Original]) -> None:
    made = cache.ensure(originals[:1])
    before = _bytes(made)
    for rendition, damage in zip(made, (b"", b"short", before[2][:-1] + b"\0"), strict=True):
        rendition.path.write_bytes(damage)
    assert _bytes(cache.ensure(originals[:1])) == before


def test_only_the_sizes_asked_for_are_made(
    cache: RenditionCache, originals: Sequence[Original]
) -> None:
    (made,) = cache.ensure(originals[:1], sizes=[Size.PRINT])
    assert made.path == cache.print_copy(originals[0].sha256)
    with pytest.raises(PhotoError, match="has no screen copy"):
        cache.copy(originals[0].sha256, Size.SCREEN)


def test_photo_named_twice_is_copied_once(
    cache: RenditionCache, originals: Sequence[Original]
) -> None:
    told: list[tuple[int, int]] = []
    photo = originals[0]
    made = cache.ensure([photo, photo], progress=lambda done, of: told.append((done, of)))
    assert told == [(1, 1)]
    assert made[: len(Size)] == made[len(Size) :]


def test_progress_counts_to_its_end(cache: RenditionCache, originals: Sequence[Original]) -> None:
    told: list[tuple[int, int]] = []
    cache.ensure(originals, progress=lambda done, of: told.append((done, of)))
    assert told == [(number, len(originals)) for number in range(1, len(originals) + 1)]


def test_nothing_asked_for_makes_nothing(tmp_path: Path, cache: RenditionCache) -> None:
    assert cache.ensure([]) == ()
    assert not (tmp_path / "copies").exists()


@pytest.mark.parametrize("workers", [1, 2])
def test_first_bad_photo_is_named(
    tmp_path: Path, cache: RenditionCache, originals: Sequence[Original], workers: int
) -> None:
    half = file_of(scene((640, 480)))[:4000]
    bad = [_original(tmp_path, f"bad-{number}.jpg", half + bytes([number])) for number in (1, 2)]
    photos = [*originals[:3], *bad, *originals[3:]]
    with pytest.raises(PhotoError, match=r"^bad-1\.jpg: begins as a JPEG") as caught:
        cache.ensure(photos, workers=workers)
    assert caught.value.name == "bad-1.jpg"
    assert cache.print_copy(originals[2].sha256).exists()


def test_exchanged_original_is_refused(
    cache: RenditionCache, originals: Sequence[Original]
) -> None:
    originals[0].path.write_bytes(originals[1].path.read_bytes())
    with pytest.raises(PhotoError, match=r"^1700\.jpg: is not the photograph of the record"):
        cache.ensure(originals[:1])


def test_unwritable_folder_names_photo_and_folder(
    tmp_path: Path, originals: Sequence[Original]
) -> None:
    put(tmp_path, "copies", b"a file where the folder should be")
    with pytest.raises(PhotoError, match=r"^1700\.jpg: its copy cannot be written to .*copies"):
        RenditionCache(tmp_path / "copies").ensure(originals[:1])


def test_another_process_makes_the_same_bytes(
    tmp_path: Path, cache: RenditionCache, originals: Sequence[Original]
) -> None:
    program = (
        "from pathlib import Path\n"
        "from qa.photos.intake import read_facts\n"
        "from qa.photos.renditions import Original, RenditionCache\n"
        f"folder = Path({str(tmp_path)!r})\n"
        "photos = [Original(name=p.name, path=p, sha256=read_facts(p, name=p.name).sha256)\n"
        "          for p in sorted((folder / 'photos').iterdir())]\n"
        "RenditionCache(folder / 'elsewhere').ensure(photos)\n"
    )
    subprocess.run([sys.executable, "-"], input=program, text=True, check=True)
    elsewhere = RenditionCache(tmp_path / "elsewhere")
    for rendition in cache.ensure(originals):
        twin = elsewhere.copy(rendition.sha256, rendition.size)
        assert twin.read_bytes() == rendition.path.read_bytes()
