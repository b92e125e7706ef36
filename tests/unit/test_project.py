"""The project's own shape: its top level, its version, its wheel, its import arrows."""

from __future__ import annotations

import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import qa

ROOT = Path(qa.__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
CONTRACTS = {one["id"]: one for one in PROJECT["tool"]["importlinter"]["contracts"]}

TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml"),
    *("qa", "templates", "migrations", "tests", "instance"),
}
LEFT_BY_TOOLS = {"build", "dist", "node_modules", "uv.lock", "__pycache__"}


def test_top_level_holds_only_what_is_agreed() -> None:
    visible = {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".")}
    assert visible - LEFT_BY_TOOLS <= TOP_LEVEL


def test_version_is_written_in_one_place() -> None:
    assert PROJECT["project"]["dynamic"] == ["version"]
    assert "version" not in PROJECT["project"]
    assert PROJECT["tool"]["hatch"]["version"]["path"] == "qa/__init__.py"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Iterator[zipfile.ZipFile]:
    """The wheel, built from the checkout without the network."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "--target", "wheel"]
    command += ["--directory", str(folder)]
    done = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    (path,) = folder.glob(f"laidtrue-{qa.__version__}-*.whl")
    with zipfile.ZipFile(path) as opened:
        yield opened


@pytest.mark.parametrize("name", ["templates", "migrations"])
def test_wheel_carries_what_stands_at_the_top(wheel: zipfile.ZipFile, name: str) -> None:
    here = {path.relative_to(ROOT / name) for path in (ROOT / name).rglob("*") if path.is_file()}
    packed = {Path(entry) for entry in wheel.namelist()}
    sources = {path for path in here if "__pycache__" not in path.parts}
    assert {Path("qa", f"_{name}") / path for path in sources} <= packed


def test_wheel_puts_nothing_beside_the_package(wheel: zipfile.ZipFile) -> None:
    tops = {Path(entry).parts[0] for entry in wheel.namelist()}
    assert tops == {"qa", f"laidtrue-{qa.__version__}.dist-info"}


def test_wheel_starts_the_same_program(wheel: zipfile.ZipFile) -> None:
    entry_points = wheel.read(f"laidtrue-{qa.__version__}.dist-info/entry_points.txt").decode()
    assert "laidtrue = qa.cli:main" in entry_points


def test_wheel_brings_a_database_to_its_tables(wheel: zipfile.ZipFile, tmp_path: Path) -> None:
    """Away from every checkout, from the migrations that the wheel carries inside the package."""
    wheel.extractall(tmp_path / "installed")
    program = (
        "from pathlib import Path; import qa; from qa.settings import Settings;"
        "from qa.services.installation import open_installation;"
        "open_installation(Settings(instance=Path('instance')));"
        "print(Path(qa.__file__).parents[1].name)"
    )
    command = [sys.executable, "-c", f"import sys; sys.path.insert(0, 'installed'); {program}"]
    done = subprocess.run(command, check=False, cwd=tmp_path, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (0, "installed\n"), done.stderr
    assert (tmp_path / "instance" / "laidtrue.db").stat().st_size > 0


def test_every_package_has_its_place_in_the_layers() -> None:
    layers = CONTRACTS["layers"]
    assert (layers["exhaustive"], layers["exhaustive_ignores"]) == (True, ["__main__"])
    assert [layer.replace("(", "").replace(")", "") for layer in layers["layers"]] == [
        "web : cli : demo",
        "services",
        "store : packs : evidence : photos",
        "assess",
        "record | specification",
        "trade | bootstrap",
        "settings | texts",
        "errors",
    ]


@pytest.mark.parametrize(("contract", "allowed"), [("core", {"rfc8785"}), ("bootstrap", set())])
def test_third_parties_are_kept_out_of_the_foundations(contract: str, allowed: set[str]) -> None:
    asked = {
        canonicalize_name(Requirement(line).name) for line in PROJECT["project"]["dependencies"]
    }
    modules = {
        module
        for module, distributions in packages_distributions().items()
        if asked & {canonicalize_name(name) for name in distributions}
        and module.isidentifier()
        and not module.startswith("_")
    }
    assert modules - allowed <= set(CONTRACTS[contract]["forbidden_modules"])
