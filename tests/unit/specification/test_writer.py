"""A specification that is written is read back as the same one."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.specification.loader import built_in, parse_specification
from qa.specification.model import Basis, Check, Figure, Need, PhotoPer, PhotoRequest, Specification
from qa.specification.toml_text import toml_text
from qa.specification.writer import write_specification
from qa.trade.catalyst import DoseChart, DoseRow
from qa.trade.conformity import DecisionRule, Limits
from qa.trade.vocabulary import Stage

GENERAL = built_in("general-grp/1")

texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(str.strip)
positive = st.floats(min_value=1e-300, max_value=1e9)
sourced = st.fixed_dictionaries({"basis": st.sampled_from(Basis), "source": texts})
HAVE_LIMITS = tuple(key for key, one in GENERAL.checks.items() if one.limits != Limits())


def test_built_in_one_is_read_back_the_same() -> None:
    assert read_back(GENERAL) == without_digest(GENERAL)


def test_same_specification_gives_the_same_bytes() -> None:
    once = write_specification(GENERAL)
    assert write_specification(parse_specification(once, file="again.toml")) == once


@given(st.data())
def test_changed_one_is_read_back_the_same(data: st.DataObject) -> None:
    changed = replace(
        GENERAL,
        name="our-firm/7",
        title=data.draw(texts),
        note=data.draw(texts),
        rule=data.draw(st.sampled_from(DecisionRule)),
        checks=_changed_checks(data),
        figures=replace(GENERAL.figures, glass_g_per_cm3=_changed_figure(data)),
        stages=_changed_stages(data),
        resin_dose=replace(GENERAL.resin_dose, chart=_changed_chart(data), **data.draw(sourced)),
    )
    assert read_back(changed) == without_digest(changed)


@pytest.mark.parametrize(
    "number", [0.1, -0.0, 1e-300, 5e-324, 1e9, 12.5, 0.30000000000000004, -20.0]
)
def test_number_is_read_back_to_the_last_bit(number: float) -> None:
    assert tomllib.loads(toml_text({"value": number})) == {"value": number}


@pytest.mark.parametrize("sign", [chr(code) for code in (*range(0x20), 0x7F, 0x85, 0x2028, 0xFEFF)])
def test_odd_sign_is_read_back(sign: str) -> None:
    text = f'{sign}a"\\{sign}"""{sign}'
    written = toml_text({"rows": [{"text": text}], "text": text})
    assert tomllib.loads(written) == {"rows": [{"text": text}], "text": text}


def test_what_toml_cannot_say_is_refused() -> None:
    with pytest.raises(TypeError, match="NoneType"):
        toml_text({"value": None})


def read_back(specification: Specification) -> Specification:
    return without_digest(parse_specification(write_specification(specification), file="x.toml"))


def without_digest(specification: Specification) -> Specification:
    return replace(specification, sha256="")


def _changed_checks(data: st.DataObject) -> MappingProxyType[str, Check]:
    key = data.draw(st.sampled_from(HAVE_LIMITS))
    ends = sorted(data.draw(st.lists(st.floats(-1e9, 1e9), min_size=2, max_size=2)))
    limits = data.draw(
        st.sampled_from(
            [Limits(lower=ends[0]), Limits(upper=ends[1]), Limits(lower=ends[0], upper=ends[1])]
        )
    )
    check = replace(
        GENERAL.checks[key],
        limits=limits,
        need=data.draw(st.sampled_from(Need)),
        plain=data.draw(texts),
        **data.draw(sourced),
    )
    return MappingProxyType({**GENERAL.checks, key: check})


def _changed_figure(data: st.DataObject) -> Figure:
    return replace(GENERAL.figures.glass_g_per_cm3, value=data.draw(positive), **data.draw(sourced))


def _changed_stages(data: st.DataObject) -> tuple[Any, ...]:
    request = PhotoRequest(
        text=data.draw(texts),
        per=data.draw(st.sampled_from(PhotoPer)),
        least=data.draw(st.integers(1, 10**6)),
        checks=data.draw(st.sampled_from([(), ("survey.fall",)])),
    )
    survey = GENERAL.stage_rule(Stage.SURVEY)
    return (replace(survey, photos=(*survey.photos, request)), *GENERAL.stages[1:])


def _changed_chart(data: st.DataObject) -> DoseChart:
    temperatures = sorted(
        data.draw(st.lists(st.floats(-50, 60), min_size=2, max_size=6, unique=True))
    )
    doses = sorted(data.draw(st.lists(positive, min_size=3, max_size=3)))
    last = len(temperatures) - 2
    return DoseChart(
        rows=tuple(
            DoseRow(
                from_c=temperatures[at],
                to_c=temperatures[at + 1],
                includes_to=at == last and data.draw(st.booleans()),
                lower_ml_per_kg=doses[0],
                target_ml_per_kg=doses[1],
                upper_ml_per_kg=doses[2],
            )
            for at in range(last + 1)
        )
    )
