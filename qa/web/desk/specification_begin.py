"""A new version from one that is there: a draft is begun, or the firm's own is joined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.services.specification_drafts import begin_draft
from qa.services.specifications import read_version
from qa.specification.loader import BUILT_IN
from qa.texts.saying import say, to_say
from qa.web.desk.routing import blueprint
from qa.web.desk.specifications import address_of
from qa.web.form_fields import WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.saving import Moment, saved


class BeginForm(SiteForm):
    """What the firm calls its limits."""

    named = WordsField(
        to_say("What your firm calls its limits"),
        hint=to_say(
            "Small letters and figures, with hyphens between words: our-limits. The number of the "
            "version comes by itself."
        ),
        required=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginPage:
    """The page; `name` and `address` are of the version that the draft comes from."""

    form: BeginForm
    name: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Begun:
    """The receipt of a draft."""

    entry: str
    draft: str
    repeated: bool = False


@blueprint.route(
    "/desk/specifications/<specification>/<int:version>/draft",
    methods=["GET", "POST"],
    endpoint="begin_draft",
)
def show_begin(specification: str, version: int) -> ResponseReturnValue:
    """Begins a draft from a version."""
    held = read_version(house(), actor(), specification, version)
    is_own = held.offered.name not in BUILT_IN and held.offered.came_with is None
    form = BeginForm(named=held.offered.key if is_own else None)
    begun: list[_Begun] = []

    def save(moment: Moment) -> Sequence[_Begun]:
        draft = begin_draft(
            house(), actor(), specification, version, named=str(form.named.data), now=moment.now
        )
        begun.append(_Begun(entry=str(form.entry_id.data), draft=draft))
        return begun

    page = BeginPage(form=form, name=held.offered.name, address=address_of(held.offered))
    return saved(
        form,
        save,
        lambda _: url_for("desk.draft", draft=begun[0].draft),
        lambda: render_page("desk/specification_begin.html", page),
        word=say("Begun"),
    )
