"""From a specification to its file: the inverse of the loader.

What the loader reads of the file written here is the same specification, digest apart. Comments
and the order of keys are the program's own, so that the same specification gives the same bytes.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping

from qa.specification.model import (
    Check,
    PhotoRequest,
    SourcedChart,
    SourcedGelModel,
    Specification,
    StageRule,
)
from qa.specification.sourced import Figure, Sizes, Sourced
from qa.specification.toml_text import TomlTable, toml_text


def write_specification(specification: Specification) -> bytes:
    """The file of a specification: TOML in UTF-8."""
    return toml_text(_document(specification)).encode()


def _document(one: Specification) -> TomlTable:
    checks: dict[str, dict[str, object]] = {}
    for key, check in one.checks.items():
        group, _, name = key.partition(".")
        checks.setdefault(group, {})[name] = _check(check)
    return {
        "name": one.name,
        "title": one.title,
        "note": one.note,
        "decision_rule": one.rule.value,
        "stage": {rule.stage.value: _stage(rule) for rule in one.stages},
        "check": checks,
        "chart": {
            "resin_dose": _chart(one.resin_dose),
            "topcoat_dose": _chart(one.topcoat_dose),
        },
        "gel_time": _gel_time(one.gel_time),
        "battens": {kind.value: _figure(figure) for kind, figure in one.battens.items()},
        "uncertainty": dict(_figures(one.uncertainty)),
        "figure": dict(_figures(one.figures)),
        "planning": dict(_figures(one.planning)),
    }


def _stage(rule: StageRule) -> TomlTable:
    return _given(
        title=rule.title,
        plain=rule.plain,
        hold_point=rule.hold_point,
        covered_by=None if rule.covered_by is None else rule.covered_by.value,
        photos=[_photo(request) for request in rule.photos],
    )


def _photo(request: PhotoRequest) -> TomlTable:
    return _given(
        text=request.text,
        per=request.per.value,
        least=request.least,
        checks=list(request.checks) or None,
    )


def _check(check: Check) -> TomlTable:
    return _given(
        stages=[stage.value for stage in check.stages],
        form=check.form.value,
        per=check.per.value,
        need=check.need.value,
        unit=check.unit,
        lower=check.limits.lower,
        upper=check.limits.upper,
        below_pct=check.below_pct,
        above_pct=check.above_pct,
        expects=None if check.expects is None else "yes" if check.expects else "no",
        **_sourced(check),
        quantity=check.quantity,
        plain=check.plain,
        plain_good=check.plain_good,
        plain_bad=check.plain_bad,
    )


def _chart(sourced: SourcedChart) -> TomlTable:
    rows = [
        _given(
            from_c=row.from_c,
            to_c=row.to_c,
            includes_to=row.includes_to or None,
            target_ml_per_kg=row.target_ml_per_kg,
            lower_ml_per_kg=row.lower_ml_per_kg,
            upper_ml_per_kg=row.upper_ml_per_kg,
        )
        for row in sourced.chart.rows
    ]
    return {**_sourced(sourced), "rows": rows}


def _gel_time(sourced: SourcedGelModel) -> TomlTable:
    return {
        **_sourced(sourced),
        "spread_ratio": sourced.spread_ratio,
        "points": [_fields(point) for point in sourced.points],
        "domain": _fields(sourced.model.domain),
    }


def _figures(holder: object) -> Iterator[tuple[str, TomlTable]]:
    """Every figure of a dataclass of them, by its key in the file."""
    for key, figure in _fields(holder).items():
        assert isinstance(figure, Figure | Sizes)
        yield key, _figure(figure)


def _figure(figure: Figure | Sizes) -> TomlTable:
    if isinstance(figure, Sizes):
        return {"values": list(figure.values), "unit": figure.unit, **_sourced(figure)}
    return {"value": figure.value, "unit": figure.unit, **_sourced(figure)}


def _sourced(sourced: Sourced) -> dict[str, str]:
    return {"basis": sourced.basis.value, "source": sourced.source}


def _fields(holder: object) -> Mapping[str, object]:
    assert dataclasses.is_dataclass(holder)
    return {field.name: getattr(holder, field.name) for field in dataclasses.fields(holder)}


def _given(**values: object) -> dict[str, object]:
    """The values that are there; TOML cannot say None."""
    return {key: value for key, value in values.items() if value is not None}
