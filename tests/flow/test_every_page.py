"""Every page of the site, as each role sees it: rules of accessibility, targets, text, contrast.

The job is the demonstration on the morning of its main day, and once more as it was handed over.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from qa.services.access import Role
from qa.services.reading import read_job
from tests.flow.browser import DESK, PHONE, ServedSite, open_page, served
from tests.flow.measuring import shortcomings
from tests.pictures.jobs import MORNING, clock_at, put_job_of_small_photos
from tests.pictures.objects import NOT_THERE, Address, addresses

ROLES = (None, Role.INSTALLER, Role.SUPERVISOR, Role.OWNER)
LED_AWAY = {303, 403}


@dataclass(frozen=True, kw_only=True)
class FilledSite:
    site: ServedSite
    pages: tuple[Address, ...]


def filled(place: Path, migrated_file: Path, until: datetime | None) -> Iterator[FilledSite]:
    instance = place / "instance"
    instance.mkdir()
    shutil.copyfile(migrated_file, instance / "laidtrue.db")
    with served(instance) as site, clock_at(MORNING):
        job = put_job_of_small_photos(site, place, until=until)
        read = read_job(site.installation, site.actor(Role.OWNER), job)
        pages, without = addresses(site, read)
        assert set(without) <= NOT_THERE
        yield FilledSite(site=site, pages=pages)


@pytest.fixture(scope="module")
def in_hand(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[FilledSite]:
    yield from filled(tmp_path_factory.mktemp("in-hand"), migrated_file, MORNING)


@pytest.fixture(scope="module")
def handed_over(
    tmp_path_factory: pytest.TempPathFactory, migrated_file: Path
) -> Iterator[FilledSite]:
    yield from filled(tmp_path_factory.mktemp("handed-over"), migrated_file, None)


def faults_of(filled: FilledSite, browser: Browser, size: tuple[int, int], dark: bool) -> list[str]:
    """What falls short on any page; one that was seen as another role is not looked at again."""
    faults, seen = [], set()
    for role in ROLES:
        with open_page(browser, size, dark=dark) as page:
            if role is not None:
                filled.site.sign_in(page, role)
            for address in filled.pages:
                if address.name in seen:
                    continue
                answer = page.request.get(filled.site.origin + address.path, max_redirects=0)
                if answer.status in LED_AWAY or "html" not in answer.headers["content-type"]:
                    continue
                seen.add(address.name)
                page.goto(filled.site.origin + address.path)
                if answer.status != 200 and not address.name.startswith("error"):
                    faults.append(f"{address.name}: {answer.status}")
                faults += [f"{address.name}: {fault}" for fault in shortcomings(page)]
    assert len(seen) > 40
    return faults


@pytest.mark.parametrize("dark", [False, True], ids=["sun", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_page_of_a_job_in_hand_falls_short_of_nothing(
    in_hand: FilledSite, browser: Browser, size: tuple[int, int], dark: bool
) -> None:
    assert "\n".join(faults_of(in_hand, browser, size, dark)) == ""


def test_page_of_a_job_handed_over_falls_short_of_nothing(
    handed_over: FilledSite, browser: Browser
) -> None:
    assert "\n".join(faults_of(handed_over, browser, PHONE, dark=False)) == ""
