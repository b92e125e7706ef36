"""The account pages in a real browser: what they fall short of, and passkeys."""

from __future__ import annotations

from playwright.sync_api import Browser, Page, expect

from qa.services.access import Role
from qa.services.inviting import invite
from qa.services.typed_people import read_person
from qa.web import clock
from tests.accounts import PASSWORD, add_account
from tests.flow.browser import PHONE, ServedSite, open_page
from tests.flow.measuring import shortcomings, shortcomings_in_all_lights

PAGES = {
    Role.OWNER: (
        "/me", "/me/password", "/me/second-factor", "/people", "/people/invite", "/people/una",
    ),
    Role.SUPERVISOR: ("/me", "/me/second-factor", "/me/authenticator", "/me/passkeys"),
    Role.OFFICE: ("/people", "/people/una", "/me/recovery-codes"),
}  # fmt: skip


def invitation(site: ServedSite) -> str:
    person = read_person(email="new@firm.example", name="Nev Sample", roles=("supervisor",))
    return invite(site.installation, site.actor(Role.OWNER), person, now=clock.now()).address


def una(site: ServedSite, role: Role) -> str:
    """Adds Una, who can sign in by a password, and answers her e-mail."""
    return f"{add_account(site.installation, firm_of(site), 'una', role).key}@firm.example"


def firm_of(site: ServedSite) -> str:
    return site.actor(Role.OWNER).firm_id


def add_virtual_authenticator(page: Page) -> None:
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": True,
        "automaticPresenceSimulation": True,
    }
    session.send("WebAuthn.addVirtualAuthenticator", {"options": options})


def sign_in(page: Page, site: ServedSite, email: str) -> None:
    page.goto(f"{site.origin}/sign-in?next=/help")
    page.fill("#email", email)
    page.fill("#password", PASSWORD)
    page.locator("button.save").click()


def test_account_pages_fall_short_of_nothing(site: ServedSite, phone: Page) -> None:
    link, found = invitation(site), []
    una(site, Role.SUPERVISOR)
    addresses: list[tuple[Role | None, str]] = [(None, f"{site.origin}/sign-in"), (None, link)]
    addresses += [(role, site.origin + path) for role, paths in PAGES.items() for path in paths]
    for role, address in addresses:
        phone.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
        if role is not None:
            site.sign_in(phone, role)
        phone.goto(address)
        found += [f"{address}: {one}" for one in shortcomings_in_all_lights(phone)]
    assert found == []


def test_page_with_faults_falls_short_of_nothing(site: ServedSite, phone: Page) -> None:
    phone.goto(f"{site.origin}/sign-in")
    phone.locator("button.save").click()
    expect(phone.locator(".problems")).to_be_visible()
    assert shortcomings(phone) == []
    site.sign_in(phone, Role.OWNER)
    phone.goto(f"{site.origin}/people/invite")
    phone.uncheck("text=Installer")
    phone.locator("button.save").click()
    expect(phone.locator(".problems")).to_be_visible()
    assert shortcomings(phone) == []


def test_passkey_is_made_and_signs_in_alone(site: ServedSite, phone: Page) -> None:
    email = una(site, Role.SUPERVISOR)
    sign_in(phone, site, email)
    add_virtual_authenticator(phone)
    phone.goto(f"{site.origin}/me/passkeys")
    phone.fill("#name", "my phone")
    phone.click("text=Make a passkey")
    expect(phone.locator(".codes li")).to_have_count(10)
    assert shortcomings(phone) == []
    phone.goto(f"{site.origin}/me")
    phone.get_by_role("button", name="Sign out", exact=True).click()
    phone.goto(f"{site.origin}/sign-in?next=/help")
    phone.click("text=Sign in with a passkey")
    expect(phone).to_have_url(f"{site.origin}/help")
    phone.goto(f"{site.origin}/me/passkeys")
    expect(phone.locator("main")).to_contain_text("my phone")


def test_passkey_is_the_second_proof_after_a_password(site: ServedSite, phone: Page) -> None:
    email = una(site, Role.SUPERVISOR)
    sign_in(phone, site, email)
    add_virtual_authenticator(phone)
    phone.goto(f"{site.origin}/me/passkeys")
    phone.click("text=Make a passkey")
    expect(phone.locator(".codes li")).to_have_count(10)
    phone.context.clear_cookies()
    sign_in(phone, site, email)
    expect(phone.locator("h1")).to_have_text("One more proof")
    assert shortcomings(phone) == []
    phone.get_by_role("button", name="Use your passkey").click()
    expect(phone).to_have_url(f"{site.origin}/help")


def test_phone_that_gives_no_answer_is_told(site: ServedSite, phone: Page) -> None:
    site.sign_in(phone, Role.OWNER)
    phone.goto(f"{site.origin}/me/passkeys")
    phone.fill("#password", "not the password")
    phone.click("text=Make a passkey")
    expect(phone.locator(".passkey .error")).to_contain_text("not the password of your account")


def test_without_script_no_passkey_is_offered(site: ServedSite, browser: Browser) -> None:
    with open_page(browser, PHONE, script=False) as page:
        page.goto(f"{site.origin}/sign-in")
        expect(page.get_by_text("Sign in with a passkey")).to_be_hidden()
        site.sign_in(page, Role.OWNER)
        page.goto(f"{site.origin}/me/passkeys")
        expect(page.locator("noscript p")).to_contain_text("A passkey needs scripts")


def test_nothing_typed_into_the_sign_in_stays_on_the_phone(site: ServedSite, phone: Page) -> None:
    sign_in(phone, site, una(site, Role.OFFICE))
    expect(phone).to_have_url(f"{site.origin}/help")
    kept = phone.evaluate("JSON.stringify(localStorage)")
    assert "una@" not in kept
    assert PASSWORD not in kept
