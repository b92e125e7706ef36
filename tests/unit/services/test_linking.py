"""Links to one job: who makes them, what opens, and what looks the same when nothing does."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select

from qa.errors import NotAllowedError, NotFoundError, RecordError, TooOftenError
from qa.services.access import MAY, Act, Role
from qa.services.linking import (
    DOES_NOT_WORK,
    LONGEST_DAYS,
    YEARS_15_DAYS,
    Face,
    MadeLink,
    OpenLink,
    end_link,
    links_of,
    make_link,
    open_link,
)
from qa.services.vault import plain_digest
from qa.store.tables import LinkRow
from tests.house import NOON, House
from tests.roof_job import RoofJob

HERE = "192.0.2.7"
"""An address for documentation (RFC 5737)."""


@pytest.fixture
def job(house: House) -> RoofJob:
    return RoofJob.started(house)


def made(job: RoofJob, face: Face = Face.HOMEOWNER, **named: object) -> MadeLink:
    return make_link(
        job.house.installation, job.house.omar, job.id,
        face=face, recipient="Ann  Invented", now=NOON, **named,  # type: ignore[arg-type]
    )  # fmt: skip


def token_of(link: MadeLink) -> str:
    return link.address.rstrip("/").rpartition("/")[2]


def opened(
    job: RoofJob, token: str, face: Face = Face.HOMEOWNER, *, after: timedelta = timedelta(0)
) -> OpenLink:
    return open_link(job.house.installation, face, token, address=HERE, now=NOON + after)


def test_link_opens_its_job_for_its_recipient(job: RoofJob) -> None:
    link = opened(job, token_of(made(job)))
    assert (link.job_id, link.firm_id, link.recipient) == (job.id, "firm-1", "Ann Invented")
    assert link.shows_personal


def test_token_has_256_bits_and_is_kept_as_digest(job: RoofJob) -> None:
    """43 signs of base64url are 256 bits; 128 are the least."""
    tokens = {token_of(made(job)) for _ in range(5)}
    assert {len(token) for token in tokens} == {43}
    with job.house.installation.store.reading() as session:
        rows = session.execute(select(LinkRow.__table__)).mappings().all()
    assert {row["token_hash"] for row in rows} == {plain_digest(token) for token in tokens}
    held = " ".join(str(value) for row in rows for value in row.values())
    assert not any(token in held for token in tokens)


@pytest.mark.parametrize(
    ("face", "days"), [(Face.HOMEOWNER, YEARS_15_DAYS), (Face.INSURER, 90)], ids=str
)
def test_link_works_for_as_long_as_is_usual(job: RoofJob, face: Face, days: int) -> None:
    """Fifteen years with their four leap days: Limitation Act 1980, s. 14B."""
    token = token_of(made(job, face))
    assert opened(job, token, face, after=timedelta(days=days, seconds=-1))
    with pytest.raises(NotFoundError, match="does not work"):
        opened(job, token, face, after=timedelta(days=days))


def test_insurer_sees_names_only_where_the_firm_says_so(job: RoofJob) -> None:
    without = opened(job, token_of(made(job, Face.INSURER)), Face.INSURER)
    with_names = opened(job, token_of(made(job, Face.INSURER, shows_personal=True)), Face.INSURER)
    assert (without.shows_personal, with_names.shows_personal) == (False, True)


def test_ended_link_opens_nothing_at_once(job: RoofJob) -> None:
    house, token = job.house, token_of(made(job))
    (kept,) = links_of(house.installation, house.omar, job.id)
    end_link(house.installation, house.omar, job.id, kept.id, now=NOON)
    with pytest.raises(NotFoundError, match="does not work"):
        opened(job, token)
    with pytest.raises(NotFoundError, match="ended already"):
        end_link(house.installation, house.omar, job.id, kept.id, now=NOON)


def test_every_link_that_does_not_work_looks_alike(job: RoofJob) -> None:
    ended, old = made(job), made(job, days=1)
    newest_first = links_of(job.house.installation, job.house.omar, job.id)
    end_link(job.house.installation, job.house.omar, job.id, newest_first[1].id, now=NOON)
    later = timedelta(days=2)
    attempts = [
        (token_of(ended), Face.HOMEOWNER), (token_of(old), Face.HOMEOWNER),
        (token_of(made(job)), Face.INSURER), ("guessed", Face.HOMEOWNER),
        ("", Face.HOMEOWNER), ("\x00\u202e" * 9000, Face.HOMEOWNER),
    ]  # fmt: skip
    for token, face in attempts:
        with pytest.raises(NotFoundError) as refused:
            opened(job, token, face, after=later)
        assert str(refused.value) == DOES_NOT_WORK


def test_ten_guesses_are_looked_up_and_no_more(job: RoofJob) -> None:
    answers = []
    for number in range(1000):
        with pytest.raises((NotFoundError, TooOftenError)) as refused:
            opened(job, f"guess-{number}")
        answers.append(type(refused.value))
    assert answers == [NotFoundError] * 10 + [TooOftenError] * 990


def test_limiter_tells_nothing_of_a_guess_that_hits(job: RoofJob) -> None:
    token = token_of(made(job))
    for number in range(10):
        with pytest.raises(NotFoundError):
            opened(job, f"guess-{number}")
    with pytest.raises(TooOftenError):
        opened(job, token)
    assert opened(job, token, after=timedelta(minutes=15))


def test_ended_link_is_no_guess(job: RoofJob) -> None:
    token = token_of(made(job, days=1))
    for _ in range(20):
        with pytest.raises(NotFoundError):
            opened(job, token, after=timedelta(days=2))


def test_visits_are_counted_and_not_their_photographs(job: RoofJob) -> None:
    token = token_of(made(job))
    for minutes in (0, 0.1, 0.2, 5, 12, 40):
        opened(job, token, after=timedelta(minutes=minutes))
    (kept,) = links_of(job.house.installation, job.house.omar, job.id)
    assert (kept.uses, kept.last_used_at) == (2, NOON + timedelta(minutes=40))


@pytest.mark.parametrize("role", Role)
def test_role_decides_who_shares(job: RoofJob, role: Role) -> None:
    actor = job.house.ines.__class__(
        firm_id="firm-1", person_id="firm-1-ines", key="ines", name="Ines", roles=frozenset({role})
    )
    if role in MAY[Act.SHARE]:
        assert links_of(job.house.installation, actor, job.id) == ()
    else:
        with pytest.raises(NotAllowedError, match="share a job by link"):
            make_link(
                job.house.installation, actor, job.id,
                face=Face.INSURER, recipient="x", now=NOON,
            )  # fmt: skip


def test_other_firm_neither_makes_nor_sees_nor_ends(job: RoofJob) -> None:
    made(job)
    house = job.house
    (kept,) = links_of(house.installation, house.omar, job.id)
    with pytest.raises(NotFoundError):
        make_link(
            house.installation, house.rival, job.id,
            face=Face.INSURER, recipient="x", now=NOON,
        )  # fmt: skip
    with pytest.raises(NotFoundError):
        links_of(house.installation, house.rival, job.id)
    with pytest.raises(NotFoundError):
        end_link(house.installation, house.rival, job.id, kept.id, now=NOON)


@pytest.mark.parametrize("recipient", ["", "  ", "x" * 121, "a\u202eb", "a\x00b"])
def test_recipient_that_cannot_be_shown_is_refused(job: RoofJob, recipient: str) -> None:
    with pytest.raises(RecordError) as refused:
        make_link(
            job.house.installation, job.house.omar, job.id,
            face=Face.INSURER, recipient=recipient, now=NOON,
        )  # fmt: skip
    assert [problem.field for problem in refused.value.problems] == ["link.recipient"]


@pytest.mark.parametrize("days", [0, -1, LONGEST_DAYS + 1, 10**9])
def test_link_for_no_time_or_for_ever_is_refused(job: RoofJob, days: int) -> None:
    with pytest.raises(RecordError, match="choose a time between"):
        made(job, days=days)
