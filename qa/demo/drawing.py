"""Drawing the script's pictures, on two cores.

Drawing is mostly Python, which threads would do one after another, so a second process takes every
other picture. It is this module, run as a program: it knows the script and needs to be told only
where to draw and which share.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from hashlib import sha256
from pathlib import Path

import qa
from qa.demo.script import demo_script
from qa.errors import SetupError
from qa.photos.drawn import draw
from qa.record.sealing import PhotoFile

_SHARES = 2
_ROOT = Path(qa.__file__).resolve().parents[1]


def draw_all(
    folder: Path, *, progress: Callable[[int, int], None] | None = None
) -> Mapping[str, PhotoFile]:
    """Draws the script's pictures and writes them as files.

    Args:
        folder: the folder that the pictures' names in the record stand in; made as needed.
        progress: told about how many are drawn, and of how many.

    Returns:
        What a ledger notes of each file, by its name.

    Raises:
        SetupError: the second process failed.
    """
    names = [name for name, _ in demo_script().pictures]
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
    with _helper(folder) as helper:
        for done in _draw_share(folder, 0):
            if progress is not None:
                progress(min(done * _SHARES, len(names)), len(names))
        _, said = helper.communicate()
    if helper.returncode:
        last = said.strip().rpartition("\n")[2]
        raise SetupError(
            f"The second process that draws pictures ended with “{last}”; mend that and run the "
            "command again. Nothing was written."
        )
    return {name: _facts(folder / name) for name in names}


def _helper(folder: Path) -> subprocess.Popen[str]:
    """The second process, at work on its share."""
    # The command is this interpreter and this module; nothing in it comes from outside.
    return subprocess.Popen(  # noqa: S603
        [sys.executable, "-m", "qa.demo.drawing", str(folder.absolute())],
        cwd=_ROOT,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


def _draw_share(folder: Path, share: int) -> Iterator[int]:
    """Draws one share of the pictures and answers how many are drawn, after each."""
    for done, (name, photo) in enumerate(demo_script().pictures[share::_SHARES], start=1):
        (folder / name).write_bytes(draw(photo))
        yield done


def _facts(file: Path) -> PhotoFile:
    content = file.read_bytes()
    return PhotoFile(
        sha256=sha256(content).hexdigest(), bytes=len(content), media_type="image/jpeg"
    )


def main(arguments: Sequence[str]) -> None:
    """Draws the second share into the folder named."""
    for _ in _draw_share(Path(arguments[0]), 1):
        pass


if __name__ == "__main__":
    main(sys.argv[1:])
