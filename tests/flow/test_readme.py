"""The README's record and commands work as they stand there."""

from __future__ import annotations

import re
import shlex
import subprocess
from pathlib import Path

import pytest

from qa.cli.program import cli
from tests.flow.job_folder import COMMAND, environment

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
RECORD = re.findall(r"```json\n(.*?)```", README, re.DOTALL)[0]
COMMANDS = [
    shlex.split(line, comments=True)[1:]
    for block in re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    for line in block.splitlines()
    if line.startswith("laidtrue ")
]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "a-job"
    folder.mkdir()
    (folder / "record.jsonl").write_text(RECORD, encoding="utf-8")
    return folder


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_command_of_the_readme_runs(command: list[str], job: Path, tmp_path: Path) -> None:
    words = command[: command.index(">")] if ">" in command else command
    done = subprocess.run(
        [*COMMAND, *words],
        cwd=job.parent,
        env=environment(tmp_path / "instance"),
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_readme_names_every_command() -> None:
    named = {command[0] for command in COMMANDS} | {"demo"}
    assert set(cli.commands) <= named
