"""What the page on which a mix is made shows."""

from __future__ import annotations

from dataclasses import dataclass

from flask import url_for

from qa.services.deck_looks import DeckLooks
from qa.services.dosing_text import AT_THE_CATALYST, CAUTIONS
from qa.services.mix_table import MixTable, bays_for
from qa.services.reading import ReadJob
from qa.specification.model import Specification
from qa.texts.saying import say
from qa.trade.notation import number_text, quantity_text
from qa.trade.vocabulary import WET_STAGES
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.mix_form import MixForm
from qa.web.roof.targets import SUPPLIER_WINS, Target, chart_json, target_of
from qa.web.roof.wording import (
    stage_title,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to another page: its address and what it is called."""

    address: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MixPage:
    """The page on which a mix is made.

    Attributes:
        stage: title of the stage.
        action: where the form is sent to.
        masses: masses offered at one touch, kg.
        first_mix: a sentence about the first mix of the day, or nothing.
        looked: the last deck temperature with its age, in words.
        asks_deck: whether a new deck temperature is asked for.
        drift: that the deck's temperature moves, or nothing.
        target: what to measure out.
        basis: where the chart comes from.
        wins: on what the chart rests, and what goes before it.
        chart: chart, gel times and bays for the script, as JSON.
        bays: the next bays in order that the mass serves.
        stir_before_s, stir_after_s: least times of stirring.
        stages: ways to the same page for the other wet stages.
        new_lot: address of the page that registers a batch.
        at_hand: what can hurt the hand that doses.
        cautions: what can hurt besides.
    """

    top: JobTop
    form: MixForm
    stage: str
    action: str
    masses: tuple[str, ...]
    first_mix: str
    looked: str
    asks_deck: bool
    drift: str
    target: Target
    basis: str
    wins: str
    chart: str
    bays: tuple[str, ...]
    stir_before_s: float
    stir_after_s: float
    stages: tuple[Way, ...]
    new_lot: str
    at_hand: str
    cautions: tuple[str, ...]


def mix_page(read: ReadJob, table: MixTable, form: MixForm) -> MixPage:
    """The page of the next mix."""
    chart = table.chart
    return MixPage(
        top=job_top(read),
        form=form,
        stage=stage_title(read, table.stage),
        action=url_for("roof.mix", job=read.id, stage=table.stage.value),
        masses=_masses(table),
        first_mix=_first_mix(read.specification, table),
        looked=_looked(table.looks),
        asks_deck=table.looks.in_force is None,
        drift=table.looks.drift(chart.chart),
        target=target_of(
            read.specification,
            table,
            kg=form.kg.data,
            deck_c=form.deck_c.data,
            catalyst_lot=form.catalyst_lot.data,
        ),
        basis=chart.source,
        wins=f"{chart.basis.value.capitalize()}. {SUPPLIER_WINS}",
        chart=chart_json(read.specification, table),
        bays=bays_for(table.left, form.kg.data),
        stir_before_s=table.stir_before_s,
        stir_after_s=table.stir_after_s,
        stages=tuple(
            Way(
                address=url_for("roof.mix", job=read.id, stage=stage.value),
                label=stage_title(read, stage),
            )
            for stage in WET_STAGES
            if stage is not table.stage
        ),
        new_lot=url_for("roof.new_lot", job=read.id),
        at_hand=" ".join(AT_THE_CATALYST),
        cautions=tuple(caution for caution in CAUTIONS if caution not in AT_THE_CATALYST),
    )


def _looked(looks: DeckLooks) -> str:
    return (
        looks.sentence
        if looks.last is None
        else say("Deck, last read: %(sentence)s", sentence=looks.sentence)
    )


def _masses(table: MixTable) -> tuple[str, ...]:
    masses = {*table.masses_kg}
    if table.first_mix_kg:
        masses.add(table.first_mix_kg)
    return tuple(number_text(kg) for kg in sorted(masses))


def _first_mix(specification: Specification, table: MixTable) -> str:
    if table.first_mix_kg is None:
        return ""
    upper = specification.checks["laminate.first_mix_area"].limits.upper or 0.0
    return say(
        "First mix of the day: at most %(quantity)s, which is about %(mass)s.",
        quantity=quantity_text(upper, "m2"),
        mass=quantity_text(table.first_mix_kg, "kg"),
    )
