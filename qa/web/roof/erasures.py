"""Erasing personal values and photographs: what, why, and that it cannot be undone."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import grouped
from qa.record.disclosure import Disclosure
from qa.services.erasing import erase
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt
from qa.texts.saying import say, say_count, to_say
from qa.web.form_fields import Option, WordsField, YesField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.photo_views import photo_views
from qa.web.roof.routing import blueprint
from qa.web.roof.several import SeveralField
from qa.web.saving import Moment, saved

_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "/client/name": to_say("The client’s name"),
        "/client/email": to_say("The client’s e-mail"),
        "/client/phone": to_say("The client’s telephone"),
        "/site/address": to_say("The address of the site"),
        "/site/latitude_deg": to_say("The latitude of the site"),
        "/site/longitude_deg": to_say("The longitude of the site"),
    }
)
_OF_CREW = re.compile(r"/crew/(\d+)/name")


@dataclass(frozen=True, slots=True, kw_only=True)
class ErasurePage:
    """What may be erased, and what was."""

    top: JobTop
    form: ErasureForm
    erased: tuple[str, ...]


class ErasureForm(SiteForm):
    """What is to be erased, and why."""

    PATHS: ClassVar = {}

    values = SeveralField(to_say("Personal values"))
    photos = SeveralField(to_say("Photographs"))
    reason = WordsField(
        to_say("Why"),
        lines=3,
        required=True,
        hint=to_say("This stays in the record; name nobody in it."),
    )
    sure = YesField(to_say("It cannot be undone. Erase it."), required=True)


@blueprint.route("/jobs/<job>/erasures/new", methods=["GET", "POST"])
def erasure(job: str) -> ResponseReturnValue:
    """Erases personal values and photographs."""
    read = read_job(house(), actor(), job)
    form = ErasureForm()
    form.values.options = tuple(_value_options(read))
    form.photos.options = tuple(_photo_options(read))

    def save(moment: Moment) -> tuple[Receipt, ...]:
        named = [place for value in form.values.data for place in json.loads(value)]
        erase(
            house(),
            actor(),
            job,
            disclosures=[(entry, field) for entry, field in named],
            photos=form.photos.data,
            reason=str(form.reason.data),
            entry_id=str(form.entry_id.data),
            now=moment.now,
        )
        return ()

    page = ErasurePage(
        top=job_top(read),
        form=form,
        erased=tuple(one.body.reason for one in read.job.erasures),
    )
    return saved(
        form,
        save,
        url_for("roof.job", job=job),
        lambda: render_page("roof/erasure.html", page),
        zone=read.job.time_zone,
        word=say("Erased"),
    )


def _value_options(read: ReadJob) -> Iterator[Option]:
    """Every personal value that is left, with those that corrections replaced.

    The same value is one answer, however many entries hold it: whoever erases it means all of them.
    """
    alike = grouped(read.record.disclosures, lambda one: (_path(one), str(one.value)))
    for (_, value), held in alike.items():
        label = f"{_name(held[0])}: {value}"
        hint = say("from a correction") if held[0].field.startswith("/body") else ""
        if len(held) > 1:
            hint = say_count("in %(number)s entry", "in %(number)s entries", len(held))
        places = json.dumps([[one.entry, one.field] for one in held])
        yield Option(value=places, label=label, hint=hint)


def _path(one: Disclosure) -> str:
    """The field, of the opening or of a correction of it."""
    return one.field.removeprefix("/body")


def _name(one: Disclosure) -> str:
    path = _path(one)
    crew = _OF_CREW.fullmatch(path)
    return (
        say("Name of person %(number)s of the crew", number=int(crew[1]) + 1)
        if crew
        else _NAMES.get(path, path)
    )


def _photo_options(read: ReadJob) -> Iterator[Option]:
    seen = set()
    for photo in read.job.photos:
        sha256 = photo.body.sha256
        views = photo_views(read, [photo])
        if sha256 and sha256 not in seen and views:
            seen.add(sha256)
            yield Option(value=sha256, label=views[0].shows, hint=views[0].told)
