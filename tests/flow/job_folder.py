"""Job folders with real pictures, and the command run on them as a person would."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from tests.factories import RecordBuilder

COMMAND = (sys.executable, "-c", "import sys; from qa.cli import main; sys.exit(main())")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a command answered."""

    status: int
    out: str
    err: str


def laidtrue(*arguments: str | Path, instance: Path | None = None) -> Run:
    """Runs the command in a process of its own, with its output in pipes.

    Args:
        arguments: as typed.
        instance: where photo copies are kept; by default nowhere that could be written.
    """
    done = subprocess.run(
        [*COMMAND, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        env=environment(instance),
    )
    return Run(status=done.returncode, out=done.stdout, err=done.stderr)


def environment(instance: Path | None = None) -> dict[str, str]:
    """This process's variables with an instance folder of the test's own."""
    return dict(os.environ) | {"LAIDTRUE_INSTANCE": str(instance or "/dev/null/nowhere")}


def small_job() -> RecordBuilder:
    """A record with one photo and one mix outside its dose."""
    builder = RecordBuilder.equipped()
    builder.add("photo", area="main", bay="r1b1")
    builder.add("mix", kg=5, catalyst_ml=300)
    return builder


def write_job(folder: Path, builder: RecordBuilder) -> Path:
    """A job folder with a real picture for every photo, of a size that goes by its number."""
    folder.mkdir()
    (folder / "record.jsonl").write_text(builder.text(), encoding="utf-8")
    named = {e["body"]["file"] for e in builder.entries if e["kind"] == "photo"}
    for number, name in enumerate(sorted(named)):
        draw_picture(folder / name, width_px=64 + number)
    return folder


def draw_picture(path: Path, *, width_px: int = 64) -> None:
    """A plain JPEG."""
    path.parent.mkdir(exist_ok=True)
    Image.new("RGB", (width_px, 48), (120, 130, 140)).save(path, "JPEG")
