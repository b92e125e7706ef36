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
LINES = [
    line
    for block in re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    for line in block.splitlines()
    if "laidtrue " in line
]
COMMANDS = [shlex.split(line, comments=True)[1:] for line in LINES if line.startswith("laidtrue")]
OF_THE_SITE = ("person", "serve", "import", "export", "backup", "restore", "rebuild", "work")
ON_FOLDERS = [command for command in COMMANDS if command[0] not in OF_THE_SITE]


def run(words: list[str], cwd: Path, variables: dict[str, str]) -> None:
    done = subprocess.run(
        [*COMMAND, *words], cwd=cwd, env=variables, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, ""), words


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "a-job"
    folder.mkdir()
    (folder / "record.jsonl").write_text(RECORD, encoding="utf-8")
    return folder


@pytest.mark.parametrize("command", ON_FOLDERS, ids=" ".join)
def test_command_of_the_readme_runs(command: list[str], job: Path, tmp_path: Path) -> None:
    words = command[: command.index(">")] if ">" in command else command
    run(words, job.parent, environment(tmp_path / "instance"))


def test_site_is_kept_by_the_commands_of_the_readme_in_their_order(
    job: Path, tmp_path: Path
) -> None:
    for line in LINES:
        words = shlex.split(line, comments=True)
        place = words[0].partition("=")[2] or "instance"
        words = words[words.index("laidtrue") + 1 :]
        if words[0] not in OF_THE_SITE:
            continue
        if words[0] == "serve":
            continue  # runs until it is told to end: tests.flow.test_serve
        run(words, job.parent, environment(tmp_path / place))


def test_readme_names_every_command() -> None:
    named = {command[0] for command in COMMANDS} | {"demo", "restore"}
    assert set(cli.commands) <= named
