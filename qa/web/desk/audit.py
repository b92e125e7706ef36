"""Audits: a plan for the complete jobs of a time, the sample it draws, and what each look finds."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlencode

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import DomainError, NotFoundError
from qa.services.audit_drawing import AuditAsked, DrawnAudit, draw_audit, record_result
from qa.services.auditing import RISK_PCT, SHARE_BAD_PCT
from qa.services.reading import read_job
from qa.texts.saying import say, to_say
from qa.trade.notation import number_text
from qa.web import clock
from qa.web.desk.routing import blueprint
from qa.web.form_fields import WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top
from qa.web.saving import Moment, Receipt, saved

LONGEST_SEED = 60
_A_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLine:
    """A job that was drawn."""

    address: str
    text: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditPage:
    """The question, and what it draws.

    Attributes:
        typed: what stands in the fields, by name.
        fault: what cannot be read, in a sentence, or nothing.
        plan: the plan in sentences.
        drawn: the sample, in the order in which it was drawn.
    """

    typed: Mapping[str, str]
    fault: str
    plan: tuple[str, ...]
    drawn: tuple[DrawnLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultPage:
    """What the audit of one job has found, about to be recorded."""

    top: JobTop
    seed: str
    form: ResultForm
    back: str


class ResultForm(SiteForm):
    """What was found, in words."""

    text = WordsField(to_say("What the audit found"), lines=4, required=True)


@blueprint.get("/desk/audit", endpoint="audit")
def show_audit() -> str:
    """Draws an audit; the address holds everything, so that it can be drawn again."""
    typed = _typed()
    drawn, fault = draw_as_asked()
    page = AuditPage(
        typed=typed,
        fault=fault,
        plan=_plan(drawn) if drawn else (),
        drawn=_lines(drawn, typed) if drawn else (),
    )
    return render_page("desk/audit.html", page)


def draw_as_asked() -> tuple[DrawnAudit | None, str]:
    """Draws the audit that the address asks for; else why it cannot be drawn."""
    try:
        return draw_audit(house(), actor(), _asked(_typed())), ""
    except DomainError as error:
        return None, str(error)
    except ValueError:
        return None, _UNREAD


@blueprint.route("/desk/audit/jobs/<job>", methods=["GET", "POST"], endpoint="audit_result")
def show_result(job: str) -> ResponseReturnValue:
    """Records what the audit of a job has found, as a note of the job."""
    typed, read = _typed(), read_job(house(), actor(), job)
    try:
        asked = _asked(typed)
    except ValueError as error:
        raise NotFoundError(say("This address names no audit. Draw one first.")) from error
    form = ResultForm()
    back = f"{url_for('desk.audit')}?{urlencode(typed)}"

    def save(moment: Moment) -> tuple[Receipt, ...]:
        return record_result(
            house(), actor(), asked, job,
            words=str(form.text.data), entry_id=str(form.entry_id.data),
            at=moment.at, now=moment.now,
        )  # fmt: skip

    page = ResultPage(top=job_top(read), seed=asked.seed, form=form, back=back)
    return saved(
        form,
        save,
        back,
        lambda: render_page("desk/audit_result.html", page),
        zone=read.job.time_zone,
        word=say("Result recorded"),
    )


_UNREAD = to_say(
    "Give both days as 2026-05-31, the first not after the last, and both shares as numbers."
)


def _typed() -> dict[str, str]:
    """What stands in the address, or what is proposed."""
    today = clock.now().date()
    proposed = {
        "since": (today - _A_YEAR).isoformat(),
        "until": today.isoformat(),
        "share": number_text(SHARE_BAD_PCT),
        "risk": number_text(RISK_PCT),
        "seed": today.isoformat(),
    }
    return {
        name: request.args.get(name, value).strip()[:LONGEST_SEED]
        for name, value in proposed.items()
    }


def _asked(typed: Mapping[str, str]) -> AuditAsked:
    """What is to be audited.

    Raises:
        ValueError: a day or a number cannot be read.
    """
    since, until = date.fromisoformat(typed["since"]), date.fromisoformat(typed["until"])
    share, risk = (float(typed[name].replace(",", ".")) for name in ("share", "risk"))
    if since > until or until.year > 9998 or not (math.isfinite(share) and math.isfinite(risk)):
        raise ValueError(typed)
    return AuditAsked(
        since=since, until=until, share_bad_pct=share, risk_pct=risk, seed=typed["seed"]
    )


def _plan(drawn: DrawnAudit) -> tuple[str, ...]:
    if drawn.plan is None:
        return (say("Complete jobs: %(lot_size)s. Look at all of them.", lot_size=drawn.lot_size),)
    plan = drawn.plan
    missed = number_text(100 * plan.zero_missed, 2)
    sizes = say(
        "%(lot_size)s complete jobs, of which %(zero_size)s are drawn",
        lot_size=plan.lot_size,
        zero_size=plan.zero_size,
    )
    risk = say(
        "With %(bad)s bad jobs among all, such a sample finds none in %(missed)s %% of cases",
        bad=plan.bad,
        missed=missed,
    )
    how = say("the jobs in the order of SHA-256 over the seed, a line end and the reference")
    return (
        say("%(sizes)s. None of them may be bad.", sizes=sizes),
        say("%(risk)s: hypergeometric distribution, exact.", risk=risk),
        say(
            "Drawn by the seed “%(seed)s”: %(how)s. Who draws again gets the same.",
            seed=drawn.asked.seed,
            how=how,
        ),
    )


def _lines(drawn: DrawnAudit, typed: Mapping[str, str]) -> tuple[DrawnLine, ...]:
    return tuple(
        DrawnLine(
            address=f"{url_for('desk.audit_result', job=job.id)}?{urlencode(typed)}",
            text=job.title,
            told=job.reference,
        )
        for job in drawn.sample
    )
