"""What is typed survives: a reload, a lost signal, a refused save, a sign-in that ran out.

One page of the site stands for all: the form to start a job, by its first field.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, Route

from qa.services.access import Role
from tests.flow.browser import ACTING_AS, PHONE, ServedSite, open_page
from tests.flow.measuring import shortcomings

PATH = "/jobs/new"
TYPED = "Demonstration roof (invented)"


@pytest.fixture
def field(site: ServedSite, phone: Page) -> str:
    """The selector of the first line to write on, on the open page."""
    site.sign_in(phone, Role.OFFICE)
    phone.goto(site.origin + PATH)
    return first_field(phone)


def first_field(page: Page) -> str:
    name = page.locator("form#sheet input.typed[type=text]").first.get_attribute("name")
    return f'[name="{name}"]'


def submit(page: Page) -> None:
    page.locator("button.save").click()


def test_typed_text_survives_a_reload(phone: Page, field: str) -> None:
    phone.fill(field, TYPED)
    phone.reload()
    assert phone.input_value(field) == TYPED
    assert "was not saved" in phone.locator("main").inner_text()
    assert shortcomings(phone) == []


def test_reload_after_a_refused_save_brings_back_what_was_typed_last(
    phone: Page, field: str
) -> None:
    phone.fill(field, TYPED)
    submit(phone)
    phone.wait_for_selector(".problems")
    phone.fill(field, f"{TYPED}, north side")
    phone.reload()
    assert phone.input_value(field) == f"{TYPED}, north side"


def test_person_may_begin_afresh(phone: Page, field: str) -> None:
    before = phone.input_value(field)
    phone.fill(field, TYPED)
    phone.reload()
    with phone.expect_navigation():
        phone.get_by_role("button", name="Begin afresh").click()
    assert phone.input_value(field) == before


def test_draft_belongs_to_its_person(site: ServedSite, phone: Page, field: str) -> None:
    before = phone.input_value(field)
    phone.fill(field, TYPED)
    site.sign_in(phone, Role.OWNER)
    phone.goto(site.origin + PATH)
    assert phone.input_value(field) == before


def test_draft_leaves_what_another_address_proposes(
    site: ServedSite, phone: Page, field: str
) -> None:
    before = phone.input_value(field)
    phone.fill(field, TYPED)
    phone.goto(f"{site.origin}{PATH}?earlier=another")
    assert phone.input_value(field) == before


def test_lost_signal_keeps_the_page_and_says_so(phone: Page, field: str) -> None:
    phone.fill(field, TYPED)
    phone.context.set_offline(True)
    submit(phone)
    phone.wait_for_selector("text=No signal")
    assert phone.input_value(field) == TYPED
    assert phone.input_value("[name=noted_at]") != ""
    phone.context.set_offline(False)
    submit(phone)
    phone.wait_for_load_state()
    assert phone.locator("text=No signal").count() == 0


def test_change_after_a_failed_save_is_noted_anew(phone: Page, field: str) -> None:
    phone.fill(field, TYPED)
    phone.context.set_offline(True)
    submit(phone)
    phone.wait_for_selector("text=No signal")
    phone.fill(field, f"{TYPED}, porch")
    assert phone.input_value("[name=noted_at]") == ""


def test_button_touched_twice_sends_once(phone: Page, field: str) -> None:
    sent: list[str] = []

    def count(route: Route) -> None:
        if route.request.method == "POST":
            sent.append(route.request.url)
        route.continue_()

    phone.route(f"**{PATH}", count)
    phone.fill(field, TYPED)
    phone.evaluate(
        "() => { const save = document.querySelector('button.save'); save.click(); save.click(); }"
    )
    phone.wait_for_load_state("networkidle")
    assert len([url for url in sent if url.endswith(PATH)]) <= 2  # once by script, once to show why


def test_refused_save_comes_back_as_it_was_typed(phone: Page, field: str) -> None:
    phone.fill(field, TYPED)
    submit(phone)
    phone.wait_for_selector(".problems")
    assert phone.input_value(field) == TYPED
    assert shortcomings(phone) == []
    phone.reload()
    assert phone.input_value(field) == TYPED


def test_ended_sign_in_carries_the_form_along(site: ServedSite, phone: Page, field: str) -> None:
    phone.fill(field, TYPED)
    phone.context.clear_cookies(name=ACTING_AS)
    submit(phone)
    phone.wait_for_selector("[name=held]", state="attached")
    assert shortcomings(phone) == []
    site.sign_in(phone, Role.OFFICE)
    phone.goto(site.origin + PATH)
    assert phone.input_value(field) == TYPED


def test_page_works_without_script(site: ServedSite, browser: Browser) -> None:
    with open_page(browser, PHONE, script=False) as page:
        site.sign_in(page, Role.OFFICE)
        page.goto(site.origin + PATH)
        field = first_field(page)
        page.fill(field, TYPED)
        submit(page)
        page.wait_for_selector(".problems")
        assert page.input_value(field) == TYPED
