"""A draft beside the version that it came from, and publishing it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import redirect, request, url_for
from flask.typing import ResponseReturnValue
from wtforms import HiddenField

from qa.services.specification_drafts import read_draft
from qa.services.specification_lines import ChangedLine
from qa.services.specification_publishing import differences, publish
from qa.services.trial_runs import trial_of
from qa.texts.saying import say, to_say
from qa.web.desk.figure_text import SentenceField
from qa.web.desk.routing import blueprint
from qa.web.desk.specification_compare import ComparePage
from qa.web.desk.specification_draft import version_address
from qa.web.desk.specification_trial import told_of_run
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.saving import Moment, saved


class PublishForm(SiteForm):
    """A word why, and what the person has seen of the draft."""

    revision = HiddenField()
    note = SentenceField(to_say("Why this version is made"), required=True, lines=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishPage:
    """The page.

    Attributes:
        name: by which it would be published.
        lines: what it says otherwise than the version that it came from.
        trial: how far its trial run is, or nothing.
    """

    form: PublishForm
    name: str
    draft: str
    came_from: str
    lines: tuple[ChangedLine, ...]
    trial: str
    try_it: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Published:
    """The receipt of a version."""

    entry: str
    name: str
    repeated: bool = False


@blueprint.get("/desk/specifications/drafts/<draft>/compare", endpoint="compare_draft")
def show_compared(draft: str) -> str:
    """What a draft says otherwise than the version that it came from."""
    held = read_draft(house(), actor(), draft)
    page = ComparePage(
        name=held.name,
        address=url_for("desk.draft", draft=draft),
        others=(),
        other=held.kept.came_from,
        lines=differences(house(), actor(), held),
    )
    return render_page("desk/specification_compare.html", page)


@blueprint.route(
    "/desk/specifications/drafts/<draft>/publish",
    methods=["GET", "POST"],
    endpoint="publish_draft",
)
def show_publish(draft: str) -> ResponseReturnValue:
    """Publishes a draft as a version that is kept for good."""
    held = read_draft(house(), actor(), draft)
    if held.kept.ended_at is not None and request.method == "GET":
        return redirect(url_for("desk.draft", draft=draft), 303)
    form = PublishForm(revision=str(held.kept.revision))
    done: list[_Published] = []

    def save(moment: Moment) -> Sequence[_Published]:
        name = publish(
            house(), actor(), draft,
            revision=_revision(form), note=str(form.note.data), now=moment.now,
        )  # fmt: skip
        done.append(_Published(entry=str(form.entry_id.data), name=name))
        return done

    return saved(
        form,
        save,
        lambda _: version_address(done[0].name),
        lambda: render_page("desk/specification_publish.html", _page(draft, form)),
        word=say("Published"),
    )


def _revision(form: PublishForm) -> int:
    sent = str(form.revision.data)
    return int(sent) if sent.isascii() and sent.isdigit() and len(sent) < 9 else -1


def _page(draft: str, form: PublishForm) -> PublishPage:
    """The page as the draft is now, so that what is seen is what is published next."""
    held = read_draft(house(), actor(), draft)
    form.revision.data = str(held.kept.revision)
    return PublishPage(
        form=form,
        name=held.name,
        draft=url_for("desk.draft", draft=draft),
        came_from=held.kept.came_from,
        lines=differences(house(), actor(), held),
        trial=told_of_run(trial_of(house(), actor(), held.kept.content)),
        try_it=url_for("desk.try_draft", draft=draft),
    )
