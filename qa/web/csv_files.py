"""CSV: which lists of the site have it, and the file that is sent.

Every page that shows a list is named here, and shows the way to its CSV at its foot; a test walks
all pages and finds a list without.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from flask import Response, request, url_for

from qa.services.csv_text import Cell, csv_text
from qa.texts.saying import to_say


@dataclass(frozen=True, slots=True, kw_only=True)
class ListCsv:
    """A list as CSV.

    Attributes:
        endpoint: that sends it.
        words: what the list is, as the way to it says.
        list_name: of those that one endpoint sends several of.
        asked: what of the page's question narrows the file too.
    """

    endpoint: str
    words: str
    list_name: str = ""
    asked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvWay:
    """The way to a list as CSV."""

    address: str
    words: str


def _of_job(words: str, list_name: str) -> ListCsv:
    return ListCsv(endpoint="roof.list_csv", words=words, list_name=list_name)


_JOBS = ListCsv(endpoint="desk.jobs_csv", words=to_say("Every job"))
_RELEASES = ListCsv(endpoint="desk.releases_csv", words=to_say("Releases waiting"))
_FINDINGS = ListCsv(
    endpoint="desk.findings_csv",
    words=to_say("Everything outside limits or late"),
    asked=("check",),
)
_MESSAGES = ListCsv(endpoint="desk.messages_csv", words=to_say("Messages to answer"))
_LATE = ListCsv(endpoint="desk.late_csv", words=to_say("Everything recorded late"))
_PACKS_DUE = ListCsv(endpoint="desk.packs_csv", words=to_say("Packs due"))
_RECORD = _of_job(to_say("The record"), "record")
_OF_FINDINGS = _of_job(to_say("Findings of every check"), "findings")
_CASES = _of_job(to_say("Nonconformities"), "nonconformities")
_PHOTOS = _of_job(to_say("Photographs"), "photos")
_LOTS = _of_job(to_say("Batches"), "lots")
_MIXES = _of_job(to_say("Mixes"), "mixes")
_CONDITIONS = _of_job(to_say("Readings of the conditions"), "conditions")
_BAYS = _of_job(to_say("Bays examined"), "examinations")

CSV_OF: Mapping[str, tuple[ListCsv, ...]] = MappingProxyType(
    {
        "roof.jobs": (_JOBS,),
        "roof.record": (_RECORD,),
        "roof.findings": (_OF_FINDINGS, _CASES),
        "roof.crew": (_of_job(to_say("The crew"), "crew"),),
        "roof.lots": (_LOTS,),
        "roof.instruments": (_of_job(to_say("Instruments"), "instruments"),),
        "roof.usage": (_of_job(to_say("What was used"), "usages"),),
        "roof.packs": (_of_job(to_say("Packs"), "packs"),),
        "roof.messages": (_of_job(to_say("Reports and questions"), "messages"),),
        "roof.links": (ListCsv(endpoint="roof.links_csv", words=to_say("Links")),),
        "roof.new_photo": (_PHOTOS,),
        "roof.bulk": (_of_job(to_say("Photos that wait"), "waiting_photos"),),
        "roof.bays": (_BAYS,),
        "roof.checks": (
            _of_job(to_say("What was measured"), "measurements"),
            _of_job(to_say("What was looked at"), "observations"),
        ),
        "roof.mix": (_MIXES,),
        "roof.conditions": (_CONDITIONS,),
        "people.everyone": (ListCsv(endpoint="desk.people_csv", words=to_say("People")),),
        "webhooks.register": (
            ListCsv(endpoint="webhooks.register_csv", words=to_say("Webhooks")),
        ),
        "webhooks.webhook": (
            ListCsv(endpoint="webhooks.deliveries_csv", words=to_say("What was sent")),
        ),
        "desk.needs_me": (_RELEASES, _MESSAGES, _FINDINGS, _LATE, _PACKS_DUE),
        "desk.releases": (_RELEASES,),
        "desk.messages": (_MESSAGES,),
        "desk.findings": (_FINDINGS,),
        "desk.late": (_LATE,),
        "desk.packs": (_PACKS_DUE,),
        "desk.batches": (
            ListCsv(endpoint="desk.batches_csv", words=to_say("Batches"), asked=("begins",)),
        ),
        "desk.batch": (ListCsv(endpoint="desk.recall", words=to_say("Recall list")),),
        "desk.search": (
            ListCsv(endpoint="desk.search_csv", words=to_say("Jobs that were found"), asked=("q",)),
        ),
        "desk.audit": (
            ListCsv(
                endpoint="desk.audit_csv", words=to_say("Jobs drawn"),
                asked=("since", "until", "share", "risk", "seed"),
            ),
        ),
        "desk.specifications": (
            ListCsv(endpoint="desk.specifications_csv", words=to_say("Specifications")),
        ),
        "desk.job": (
            _RECORD, _OF_FINDINGS, _CASES, _PHOTOS, _MIXES, _CONDITIONS, _BAYS, _LOTS,
        ),
    }
)  # fmt: skip
"""The lists of each page, by the page's endpoint."""


def csv_ways() -> tuple[CsvWay, ...]:
    """The ways from the page that is being made to its lists as CSV."""
    return tuple(map(_way, CSV_OF.get(request.endpoint or "", ())))


def _way(one: ListCsv) -> CsvWay:
    values: dict[str, Any] = dict(request.view_args or {})
    if one.list_name:
        values = {"job": values["job"], "list_name": one.list_name}
    values |= {name: request.args[name] for name in one.asked if request.args.get(name)}
    return CsvWay(address=url_for(one.endpoint, **values), words=one.words)


def csv_file(name: str, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Response:
    """A list as a file to be saved; what a spreadsheet would run is made harmless.

    Args:
        name: of the file, without its ending.
        header: names of the columns.
        rows: as long as the header.
    """
    answer = Response(
        csv_text(header, rows), content_type="text/csv; charset=utf-8; header=present"
    )
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return answer
