"""From a file to a specification, or to one error with every fault of the file.

The file is TOML, so that a firm can change a limit in any text editor. Nothing is taken on trust:
an unknown key is a fault, for a misspelt limit must never pass for an absent one.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from qa.errors import Problem, SpecificationError
from qa.specification.charts import read_chart, read_gel_time
from qa.specification.checks import read_checks
from qa.specification.figures import read_battens, read_figures
from qa.specification.model import Specification, StageRule
from qa.specification.planning import read_planning
from qa.specification.stages import read_stages
from qa.specification.table import Faults, Table
from qa.specification.uncertainties import read_uncertainties
from qa.trade.conformity import DecisionRule
from qa.trade.vocabulary import Stage

BUILT_IN: Mapping[str, str] = MappingProxyType({"general-grp/1": "general-grp.toml"})
"""Names and files of what Laidtrue brings along; a file once published here never changes."""

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*/[1-9][0-9]*")


def built_in(name: str) -> Specification:
    """Return a specification that Laidtrue brings along.

    Args:
        name: key and version, such as "general-grp/1".

    Raises:
        SpecificationError: there is none of that name.
    """
    return load_specification(built_in_path(name))


def built_in_path(name: str) -> Path:
    """Return the file of a specification that Laidtrue brings along; as `built_in`."""
    if name not in BUILT_IN:
        known = ", ".join(BUILT_IN)
        sentence = f"no built-in specification has this name; there is {known}."
        raise SpecificationError((Problem(place=f'specification "{name}"', sentence=sentence),))
    return Path(__file__).with_name(BUILT_IN[name])


def load_specification(path: Path) -> Specification:
    """Read a specification's file.

    Args:
        path: the TOML file.

    Raises:
        SpecificationError: the file is missing, cannot be read, or holds any fault; the error
            carries all of them.
    """
    return parse_specification(read_content(path), file=path.name or str(path))


def read_content(path: Path) -> bytes:
    """Return the bytes of a specification's file, which its digest is reckoned over.

    Raises:
        SpecificationError: the file is missing or cannot be read.
    """
    file = path.name or str(path)
    try:
        return path.read_bytes()
    except FileNotFoundError as error:
        raise _unreadable(file, "there is no such file; check the path.") from error
    except IsADirectoryError as error:
        raise _unreadable(file, "this is a folder; name the file in it.") from error
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise _unreadable(file, f"the file cannot be opened: {reason}.") from error


def parse_specification(content: bytes, *, file: str) -> Specification:
    """Read a specification from the bytes of its file.

    Args:
        content: the file's bytes: TOML in UTF-8.
        file: the file's name, for the sentences of an error.

    Raises:
        SpecificationError: the content holds any fault; the error carries all of them.
    """
    faults = Faults(file)
    root = Table(_parse_toml(content, file), "", faults)
    name = root.text("name")
    if name and not _NAME.fullmatch(name):
        root.note("name", f'name is "{name}"; write a key and a version, such as "our-firm/1".')
    title, note = root.text("title"), root.text("note")
    rule = root.choice("decision_rule", DecisionRule)
    stages = read_stages(root)
    checks = read_checks(root, _hold_points(stages))
    charts = root.table("chart")
    resin_dose, topcoat_dose = read_chart(charts, "resin_dose"), read_chart(charts, "topcoat_dose")
    charts.refuse_rest()
    gel_time = read_gel_time(root)
    figures, battens = read_figures(root), read_battens(root)
    uncertainty, planning = read_uncertainties(root), read_planning(root)
    root.refuse_rest()
    if faults.problems or not (
        resin_dose and topcoat_dose and gel_time and figures and uncertainty and planning
    ):
        raise SpecificationError(faults.problems)
    return Specification(
        name=name,
        title=title,
        note=note,
        rule=rule,
        sha256=hashlib.sha256(content).hexdigest(),
        stages=stages,
        checks=checks,
        resin_dose=resin_dose,
        topcoat_dose=topcoat_dose,
        gel_time=gel_time,
        figures=figures,
        uncertainty=uncertainty,
        battens=battens,
        planning=planning,
    )


def _hold_points(stages: tuple[StageRule, ...]) -> tuple[Stage, ...] | None:
    if len(stages) < len(Stage):
        return None
    return tuple(rule.stage for rule in stages if rule.hold_point)


def _parse_toml(content: bytes, file: str) -> dict[str, object]:
    try:
        text = content.decode("utf-8-sig")  # some editors put a mark of their own in front
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        sentence = "the text is not UTF-8; save the file as UTF-8."
        raise _unreadable(file, sentence, line) from error
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        place = re.search(r"\(at line (\d+)", str(error))
        line = int(place[1]) if place else text.count("\n") + 1
        sentence = f"the text is not TOML: {error}."
        raise _unreadable(file, sentence, line) from error


def _unreadable(file: str, sentence: str, line: int | None = None) -> SpecificationError:
    place = file if line is None else f"{file}, line {line}"
    return SpecificationError((Problem(place=place, sentence=sentence, line=line),))
