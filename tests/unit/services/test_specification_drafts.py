"""Drafts of a firm's limits: gathered, held to the loader, published once, never moving a job."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest

from qa.assess.finding import assessment_text
from qa.errors import ConflictError, NotAllowedError, NotFoundError, RecordError, SpecificationError
from qa.services.reading import read_job
from qa.services.specification_drafts import (
    HeldDraft,
    LineChange,
    begin_draft,
    change_line,
    line_of_draft,
    open_drafts,
    read_draft,
    throw_away,
)
from qa.services.specification_publishing import differences, publish
from qa.services.specifications import make_version, offered_versions, read_version
from qa.specification.loader import built_in_path
from tests.house import NOON, House
from tests.roof_job import RoofJob
from tests.specifications import firm_file

MOISTURE = "check.deck.moisture"


@pytest.fixture
def draft(house: House) -> str:
    return begun(house)


def begun(house: House, key: str = "general-grp", named: str = "our-limits") -> str:
    return begin_draft(house.installation, house.omar, key, 1, named=named, now=NOON)


def held(house: House, draft: str) -> HeldDraft:
    return read_draft(house.installation, house.omar, draft)


def moisture(house: House, draft: str, upper: float = 12.0, path: str = MOISTURE) -> LineChange:
    line = line_of_draft(held(house, draft), path)
    return LineChange(path=path, table={**line.table, "upper": upper}, seen=line.mark)


def change(house: House, draft: str, upper: float = 12.0) -> None:
    assert change_line(
        house.installation, house.omar, draft, moisture(house, draft, upper), now=NOON
    )


def published(house: House, draft: str, revision: int = 1) -> str:
    return publish(
        house.installation, house.omar, draft, revision=revision, note="Our sheet.", now=NOON
    )


def test_draft_is_the_next_version_of_the_firms_name(house: House, draft: str) -> None:
    assert held(house, draft).name == "our-limits/1"
    make_version(house.installation, house.omar, firm_file("our-limits/4"), note="", now=NOON)
    fifth = begin_draft(
        house.installation, house.omar, "our-limits", 4, named="our-limits", now=NOON
    )
    assert held(house, fifth).name == "our-limits/5"


def test_second_person_joins_the_draft(house: House, draft: str) -> None:
    assert begun(house, named="another") == draft
    assert [one.id for one in open_drafts(house.installation, house.omar)] == [draft]


@pytest.mark.parametrize("named", ["", "general-grp", "Our Limits", "a" * 61, "our/limits", "<b>"])
def test_name_that_cannot_be_one_begins_nothing(house: House, named: str) -> None:
    with pytest.raises(RecordError) as refused:
        begun(house, named=named)
    assert {one.field for one in refused.value.problems} == {"draft.named"}
    assert open_drafts(house.installation, house.omar) == ()


def test_change_is_kept_with_who_and_what(house: House, draft: str) -> None:
    change(house, draft)
    (kept,) = held(house, draft).changes
    assert (kept.changed_by, kept.told, kept.path) == ("Omar", "upper: 18 % → 12 %", MOISTURE)
    assert held(house, draft).specification.checks["deck.moisture"].limits.upper == 12


def test_same_value_again_is_no_change(house: House, draft: str) -> None:
    assert not change_line(
        house.installation, house.omar, draft, moisture(house, draft, 18.0), now=NOON
    )
    assert held(house, draft).changes == ()


def test_faulty_change_keeps_nothing(house: House, draft: str) -> None:
    line = line_of_draft(held(house, draft), MOISTURE)
    faulty = LineChange(path=MOISTURE, table={**line.table, "source": ""}, seen=line.mark)
    with pytest.raises(SpecificationError, match="source is empty"):
        change_line(house.installation, house.omar, draft, faulty, now=NOON)
    assert held(house, draft).kept.revision == 0


def test_change_over_another_one_is_told_first(house: House, draft: str) -> None:
    first, second = moisture(house, draft, 12.0), moisture(house, draft, 14.0)
    change_line(house.installation, house.omar, draft, first, now=NOON)
    with pytest.raises(RecordError, match=r"Omar changed this meanwhile: upper: 18 % → 12 %"):
        change_line(house.installation, house.omar, draft, second, now=NOON)
    again = replace(second, seen=line_of_draft(held(house, draft), MOISTURE).mark)
    assert change_line(house.installation, house.omar, draft, again, now=NOON)


def test_published_draft_is_a_version_for_good(house: House, draft: str) -> None:
    change(house, draft)
    content = held(house, draft).kept.content
    assert published(house, draft) == "our-limits/1"
    version = read_version(house.installation, house.omar, "our-limits", 1)
    assert (version.content, version.offered.note) == (content, "Our sheet.")
    assert open_drafts(house.installation, house.omar) == ()
    assert held(house, draft).kept.published == "our-limits/1"


def test_origin_stays_as_it_was(house: House, draft: str) -> None:
    change(house, draft)
    published(house, draft)
    held_now = read_version(house.installation, house.omar, "general-grp", 1).content
    assert held_now == built_in_path("general-grp/1").read_bytes()


def test_version_taken_meanwhile_gives_the_next_number(house: House, draft: str) -> None:
    change(house, draft)
    make_version(house.installation, house.omar, firm_file(), note="", now=NOON)
    assert published(house, draft) == "our-limits/2"
    assert read_version(house.installation, house.omar, "our-limits", 1).content == firm_file()


def test_second_who_publishes_is_told(house: House, draft: str) -> None:
    change(house, draft)
    published(house, draft)
    with pytest.raises(ConflictError, match="Omar published it as our-limits/1 meanwhile"):
        published(house, draft)
    with pytest.raises(ConflictError, match="not changed any more"):
        change_line(house.installation, house.omar, draft, moisture(house, draft, 9.0), now=NOON)


def test_two_who_publish_at_once_make_one_version(house: House, draft: str) -> None:
    change(house, draft)
    together, said = threading.Barrier(2), []

    def one() -> None:
        together.wait()
        try:
            said.append(published(house, draft))
        except ConflictError as error:
            said.append(type(error).__name__)

    threads = [threading.Thread(target=one) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(said) == ["ConflictError", "our-limits/1"]
    assert len(offered_versions(house.installation, house.omar)) == 2


def test_draft_that_grew_is_looked_at_before_it_is_published(house: House, draft: str) -> None:
    change(house, draft)
    change(house, draft, 11.0)
    with pytest.raises(RecordError, match="upper: 12 % → 11 %"):
        published(house, draft, revision=1)
    assert published(house, draft, revision=2) == "our-limits/1"


def test_draft_that_says_the_same_is_not_published(house: House, draft: str) -> None:
    with pytest.raises(RecordError, match="says what general-grp/1 says"):
        published(house, draft, revision=0)
    change(house, draft)
    change(house, draft, 18.0)
    with pytest.raises(RecordError, match="says what general-grp/1 says"):
        published(house, draft, revision=2)


def test_differences_leave_the_name_out(house: House, draft: str) -> None:
    change(house, draft)
    (line,) = differences(house.installation, house.omar, held(house, draft))
    assert line.path == MOISTURE


def test_draft_thrown_away_leaves_room_for_another(house: House, draft: str) -> None:
    throw_away(house.installation, house.omar, draft, now=NOON)
    assert begun(house) != draft
    assert len(offered_versions(house.installation, house.omar)) == 1


def test_batten_that_is_absent_can_be_added(house: House, draft: str) -> None:
    line = line_of_draft(held(house, draft), "battens.wall_fillet")
    table = {"value": 1.0, "unit": "1", "basis": "project choice", "source": "Our drawing."}
    added = LineChange(path=line.path, table=table, seen=line.mark)
    change_line(house.installation, house.omar, draft, added, now=NOON)
    assert len(held(house, draft).specification.battens) == 3


@pytest.mark.parametrize("path", ["", "check", "check.deck.nothing", "name", "stage", "../etc"])
def test_line_of_another_name_is_not_there(house: House, draft: str, path: str) -> None:
    with pytest.raises(NotFoundError, match="nothing of that name"):
        line_of_draft(held(house, draft), path)


def test_another_firm_finds_no_draft(house: House, draft: str) -> None:
    with pytest.raises(NotFoundError):
        read_draft(house.installation, house.rival, draft)
    with pytest.raises(NotFoundError):
        throw_away(house.installation, house.rival, draft, now=NOON)
    assert open_drafts(house.installation, house.rival) == ()


def test_installer_drafts_nothing(house: House, draft: str) -> None:
    for attempt in (
        lambda: read_draft(house.installation, house.ines, draft),
        lambda: throw_away(house.installation, house.ines, draft, now=NOON),
        lambda: begin_draft(
            house.installation, house.ines, "general-grp", 1, named="ours", now=NOON
        ),
    ):
        with pytest.raises(NotAllowedError, match="owner or supervisor"):
            attempt()


def test_publishing_moves_no_job(house: House, draft: str) -> None:
    job = RoofJob.started(house)
    job.add("area")
    job.add("measurement", check="deck.moisture", stage="deck", unit="%", value=15)
    before = read_job(house.installation, house.ines, job.id)
    change(house, draft)
    published(house, draft)
    house.installation.open_jobs.forget(job.id)
    after = read_job(house.installation, house.ines, job.id)
    assert assessment_text(after.assessment) == assessment_text(before.assessment)
    assert after.specification_bytes == before.specification_bytes
