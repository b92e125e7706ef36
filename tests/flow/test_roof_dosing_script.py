"""The page's script reckons what the trade's arithmetic reckons: over the whole of every chart."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

import pytest
from playwright.sync_api import Page

from qa.errors import DomainError
from qa.services.access import Role
from qa.specification.loader import built_in
from qa.trade.catalyst import DoseChart, target_catalyst_ml
from qa.trade.dew_point import dew_point_c
from qa.trade.notation import number_text
from qa.web.form_fields import read_figure
from tests.flow.roof_visitor import RoofSite

SPECIFICATION = built_in("general-grp/1")
TEMPERATURES = [tenths / 10 for tenths in range(-50, 451)]
MASSES = [kg / 20 for kg in range(1, 301)]

_IMPORT = """
const at = (name) => document.querySelector('script[src$="/site/sending.js"]').src
  .replace('sending.js', name);
"""


@pytest.fixture
def page(roof: RoofSite, phone: Page) -> Page:
    """A page of the site, so that its scripts may be imported."""
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/mix")
    return phone


def _evaluate(page: Page, script: str, argument: Any) -> Any:
    return page.evaluate(f"async (given) => {{ {_IMPORT} {script} }}", argument)


def test_targets_agree_over_the_whole_of_each_chart(page: Page) -> None:
    _compare(page, SPECIFICATION.resin_dose.chart)
    _compare(page, SPECIFICATION.topcoat_dose.chart)


def _compare(page: Page, chart: DoseChart) -> None:
    """Which row holds at each temperature, and in each row the figures of each mass."""
    found = _evaluate(
        page,
        """
        const { rowAt, doseOf } = await import(at('dose.js'));
        const { numberText } = await import(at('notation.js'));
        return {
          rows: given.temperatures.map((c) => given.rows.indexOf(rowAt(given.rows, c))),
          doses: given.rows.map((row) => given.masses.map((kg) => {
            const { target, lower, upper } = doseOf(row, kg);
            return [target, lower, upper].map((ml) => `${ml} ${numberText(ml)}`).join();
          })),
        };
        """,
        {
            "rows": [asdict(row) for row in chart.rows],
            "temperatures": TEMPERATURES,
            "masses": MASSES,
        },
    )
    held = [chart.row_at(deck_c) for deck_c in TEMPERATURES]
    assert found["rows"] == [-1 if row is None else chart.rows.index(row) for row in held]
    for row, answers in zip(chart.rows, found["doses"], strict=True):
        for kg, answer in zip(MASSES, answers, strict=True):
            dose = target_catalyst_ml(resin_kg=kg, row=row)
            expected = (dose.target_ml, dose.lower_ml, dose.upper_ml)
            figures = [part.split(" ", 1) for part in answer.split(",")]
            assert [float(ml) for ml, _ in figures] == list(expected), (row, kg)
            assert [text for _, text in figures] == [number_text(ml) for ml in expected]


def test_chart_of_the_page_is_the_specification_s(page: Page) -> None:
    rows = json.loads(page.get_attribute("#target", "data-chart") or "")["rows"]
    assert [row["from_c"] for row in rows] == [5, 13, 16, 20]
    assert rows[-1]["includes_to"] is True


def test_gel_times_agree_over_the_whole_domain(page: Page) -> None:
    places = [(c / 2, dose / 2) for c in range(8, 64) for dose in range(18, 84)]
    found = _evaluate(
        page,
        """
        const { gelOf } = await import(at('dose.js'));
        const { gel } = JSON.parse(document.getElementById('target').dataset.chart);
        return given.map(([c, dose]) => gelOf(gel, c, dose));
        """,
        places,
    )
    model = SPECIFICATION.gel_time.model
    for (deck_c, dose), answer in zip(places, found, strict=True):
        try:
            expected = model.estimate(deck_c, dose)
        except DomainError:
            assert answer is None, (deck_c, dose)
            continue
        assert answer["gel"] == pytest.approx(expected.gel_min, rel=1e-12)
        assert answer["low"] == pytest.approx(expected.low_min, rel=1e-12)
        assert answer["high"] == pytest.approx(expected.high_min, rel=1e-12)


def test_dew_points_agree_over_the_whole_domain(page: Page) -> None:
    """WMO-No. 8, Annex 4.B, Magnus form over water, -20 to 50 °C and 1 to 100 %."""
    readings = [(air / 2, rh / 2) for air in range(-42, 103) for rh in range(1, 202)]
    found = _evaluate(
        page,
        """
        const { dewPoint } = await import(at('dew_point.js'));
        return given.map(([air, rh]) => dewPoint(air, rh));
        """,
        readings,
    )
    for (air_c, humidity_pct), answer in zip(readings, found, strict=True):
        try:
            expected = dew_point_c(air_c=air_c, humidity_pct=humidity_pct)
        except DomainError:
            assert answer is None, (air_c, humidity_pct)
            continue
        assert answer == pytest.approx(expected, abs=1e-12)


def test_numbers_are_written_alike(page: Page) -> None:
    values = [sign * n * step for n in range(1, 2500) for step in (0.0125, 1.7, 63.125)
              for sign in (1, -1)]  # fmt: skip
    values += [0, 0.5, 1.5, 2.5, 9.9995, 99.995, 999.95, 9999.5, 12345.5, 1e-4, 19.125, 31.875]
    found = _evaluate(
        page,
        """
        const { numberText } = await import(at('notation.js'));
        return given.map((value) => numberText(value));
        """,
        values,
    )
    wrong = [(v, f) for v, f in zip(values, found, strict=True) if number_text(v) != f]
    assert wrong == []


_TYPED = {
    "14,5": 14.5, "−3": -3, "–3.5": -3.5, " 1 2 ": 12, ".5": 0.5, "five": None, "": None,
    "1e400": None, "0x10": None, "1,2,3": None,
}  # fmt: skip


def test_figures_are_read_as_the_server_reads_them(page: Page) -> None:
    found = _evaluate(
        page,
        "const { readNumber } = await import(at('notation.js')); return given.map(readNumber);",
        list(_TYPED),
    )
    assert found == list(_TYPED.values())
    for typed, value in _TYPED.items():
        if value is None:
            with pytest.raises(ValueError, match="no figure"):
                read_figure(typed)
        else:
            assert read_figure(typed) == value
