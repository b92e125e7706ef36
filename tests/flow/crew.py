"""A firm that begins with its owner alone, and the people whom the owner invites to a job.

with crew_at(site, browser, PHONE) as crew:
    invite_everybody(crew)
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

import pyotp
from playwright.sync_api import Browser

from qa.services.access import Role
from tests.accounts import add_account, add_firm
from tests.flow.browser import ServedSite, open_page
from tests.flow.walker import Walker


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Who works on the job, each in a browser of their own.

    Attributes:
        olive: the firm's owner.
        wren, abe: installers.
        isa: the supervisor.
    """

    olive: Walker
    wren: Walker
    abe: Walker
    isa: Walker


@contextmanager
def crew_at(site: ServedSite, browser: Browser, size: tuple[int, int]) -> Iterator[Crew]:
    """Four browsers of a firm that has nobody yet but its owner."""
    firm_id = add_firm(site.installation, "Slope and Strip (invented)")
    add_account(site.installation, firm_id, "olive", Role.OWNER)
    with ExitStack() as stack:
        pages = [stack.enter_context(open_page(browser, size)) for _ in range(4)]
        olive, wren, abe, isa = (Walker(page, site.origin) for page in pages)
        yield Crew(olive=olive, wren=wren, abe=abe, isa=isa)


def invite_everybody(crew: Crew) -> None:
    """The owner sends three links, and everybody makes their account with theirs."""
    crew.olive.sign_in("olive@firm.example")
    crew.wren.accept(invitation(crew.olive, "Wren Sample", "Installer"))
    crew.abe.accept(invitation(crew.olive, "Abe Example", "Installer"))
    crew.isa.accept(invitation(crew.olive, "Isa Specimen", "Supervisor"))
    prove_by_a_phone(crew.isa)
    crew.wren.sees("There is no job yet")


def invitation(olive: Walker, name: str, role: str) -> str:
    """The address that the owner sends to somebody."""
    olive.open("/people")
    olive.go("Invite somebody")
    olive.fill("Name", name)
    olive.fill("E-mail", f"{name.partition(' ')[0].lower()}@slope.example")
    olive.page.get_by_label("Installer").uncheck()
    olive.tick(role)
    olive.save("Make the link")
    return olive.page.get_by_label("The link").input_value()


def prove_by_a_phone(isa: Walker) -> None:
    """The supervisor sets up an authenticator, without which nothing is open to them."""
    isa.go("An authenticator")
    secret = isa.page.locator(".secret").inner_text().replace(" ", "")
    isa.fill("The code that it shows now", pyotp.TOTP(secret).now())
    isa.save("Set it up")
    isa.sees("Write these down")
    isa.go("I have them")
    isa.sees("There is no job yet")


def join(abe: Walker) -> None:
    """The second installer finds the job in the list, and adds himself."""
    abe.open("/")
    abe.go("Porch roof")
    abe.go("Add yourself to the crew")
    abe.tick("Abe Example")
    abe.save("Add to the crew")
