"""Four people with a roof between them, each in a browser of their own, and the firm's office.

with four_at(site, browser) as people:
    people.everybody_comes()
    job = people.wren.starts_the_job()

Who works for the firm is a `Walker`; who comes by a link holds its address and nothing else.
"""

from __future__ import annotations

import json
import re
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, expect

from qa.services.access import Role
from qa.services.identity import new_id
from tests.accounts import add_account, add_firm
from tests.flow.browser import DESK, PHONE, ServedSite, open_page
from tests.flow.crew import invitation, prove_by_a_phone
from tests.flow.walker import Walker, payload

ADDRESS = "1 Invented Lane"
CLIENT = "A. Client"


class Installer(Walker):
    """On the roof, with a phone and a program that sends what the firm's loggers noted."""

    key = "wren-sample"

    def starts_the_job(self) -> str:
        """Opens the job, draws its roof, and answers the job's address."""
        self.go("Start a job")
        self.fill("What the job is", "Porch roof")
        self.fill("Client’s name", CLIENT)
        self.fill("Address of the roof", ADDRESS)
        self.save("Start, and draw the roof")
        self.fill("Name of this area", "Main")
        self.fill("Length of the first side", "2,4")
        self.fill("Width", "1.2")
        self.tick("Drip edge")
        self.save("Save the area")
        self.go("To the job")
        return self.path

    def makes_a_token(self) -> Program:
        """A token for the program, read off the page that shows it once."""
        self.open("/me/tokens")
        self.fill("What the program is", "Logger box")
        self.save("Make a token")
        token = self.page.locator(".token").inner_text()
        return Program(api=f"{self._origin}/api/v1", token=token)

    def signs(self, job: str, stage: str, statement: str) -> None:
        """Signs a stage off."""
        self.open(f"{job}/stages/{stage}")
        self.go("The installer’s sign-off")
        self.fill("What you sign", statement)
        self.save("Sign off as complete")

    def sends_the_photo_asked_for(self, job: str, words: str, shade: int) -> None:
        """Finds what was asked for among what is still to do, and takes it."""
        self.open(f"{job}/stages/deck")
        self.go(f"Photo asked for: {words}")
        self.photograph(shade)
        self.save("Save the photograph")
        self.all_photos_are_sent()


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A program with a token: sends what was read off instruments, asks what came of it."""

    api: str
    token: str

    def ask(self, path: str, method: str = "GET", content: bytes | None = None) -> Any:
        """What the site answers."""
        request = urllib.request.Request(f"{self.api}{path}", data=content, method=method)
        request.add_header("Authorization", f"Bearer {self.token}")
        if method == "POST":
            request.add_header("Content-Type", "application/json")
        with urllib.request.urlopen(request, timeout=20) as answer:
            return json.load(answer)

    def record(self, job: str, by: str, at: str, bodies: Sequence[tuple[str, Any]]) -> list[Any]:
        """Records entries in one request, and answers their receipts."""
        entries = [
            {"id": new_id(), "kind": kind, "at": at, "by": by, "body": body}
            for kind, body in bodies
        ]
        sent = self.ask(f"{job}/entries", "POST", json.dumps(entries).encode())
        receipts: list[Any] = sent["receipts"]
        return receipts

    def hand_in(self, content: bytes) -> Mapping[str, str]:
        """Hands in a photograph, and answers how an entry names it."""
        digest = sha256(content).hexdigest()
        held = self.ask(f"/photos/{digest}", "PUT", content)
        return {"file": held["file"], "sha256": digest}


class Supervisor(Walker):
    """At the desk."""

    def goes_to_the_whole_job(self, job: str) -> None:
        """From what needs her to the job on one page."""
        self.open("/desk")
        self.sees("Deck: Porch roof")
        self.open(job)
        self.go("The whole job")

    def asks_for_a_photo(self, words: str) -> None:
        """One more photograph of the deck."""
        self.go("Ask for one more photo: deck")
        self.fill("What it must show", words)
        self.save("Ask for it")
        self.sees(words)

    def decides(self, stage: str, decision: str, statement: str) -> None:
        """Refuses or releases what waits longest, from the desk."""
        self.open("/desk")
        self.go("Decide the oldest release")
        self.sees(f"Release: {stage}")
        self.tick(decision)
        self.fill("What you sign", statement)
        self.save("Sign the decision")

    def concedes(self, job: str, finding: str, *, authority: str, limit: str) -> str:
        """Raises what is outside its limits and accepts it in writing; the case's address."""
        self.open(f"/desk{job}")
        self.sees(finding)
        self.go("Raise a nonconformity")
        expect(self._field("What does not conform")).to_have_value(re.compile(finding))
        self.save("Raise it")
        self.tick("Concession")
        self.fill("Reason", "Dried by a fan since; the boards are 22 mm")
        self.fill("By whose authority", authority)
        self.fill("How far it goes", limit)
        self.save("Save the decision")
        return self.path

    def closes(self, case: str, statement: str, shade: int) -> None:
        """Closes a case with a photograph as evidence."""
        self.open(case)
        self.fill("How it was left", statement)
        self.page.set_input_files("input[type=file]", [payload(shade)])
        self.save("Close it")


class Office(Walker):
    """The firm's owner, who is its office too."""

    def joins(self, job: str) -> None:
        """Adds herself to the crew, whose notes the answers are."""
        self.open(f"{job}/crew")
        self.tick("Olive Sample")
        self.save("Add to the crew")

    def makes_a_link(self, job: str, recipient: str, face: str) -> str:
        """A link for somebody outside the firm, as the page shows it this once."""
        self.open(f"{job}/links")
        self.fill("Whom is it for", recipient)
        self.tick(face)
        self.save("Make the link")
        return self.page.get_by_label("The link").input_value()

    def answers(self, job: str, title: str, answer: str) -> None:
        """Answers a report or a question."""
        self.open(job)
        self.go("Reports and questions")
        self.go(title)
        self.fill("Your answer", answer)
        self.save("Save it in the record")

    def ends_the_link(self, job: str, recipient: str) -> None:
        """Ends the link of somebody."""
        self.open(f"{job}/links")
        of_them = self.page.locator("section", has=self.page.get_by_text(recipient, exact=True))
        with self.page.expect_navigation():
            of_them.get_by_role("button", name="End this link").click()
        self.sees("It opens nothing any more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outsider:
    """Somebody with a link and no account."""

    page: Page

    def opens(self, link: str) -> None:
        """Follows the link as it came in a letter."""
        answer = self.page.goto(link)
        assert answer is not None
        assert answer.status == 200

    def go(self, words: str) -> None:
        """Follows the first link that begins so."""
        link = self.page.get_by_role("link", name=re.compile(rf"^\s*{re.escape(words)}")).first
        with self.page.expect_navigation():
            link.click()

    def saves(self, words: str, folder: Path) -> bytes:
        """Saves the file behind a link, and answers what is in it."""
        link = self.page.get_by_role("link", name=re.compile(rf"^\s*{re.escape(words)}")).first
        with self.page.expect_download() as download:
            link.click()
        path = folder / download.value.suggested_filename
        download.value.save_as(path)
        return path.read_bytes()

    def writes(self, text: str, photo: bytes | None = None) -> None:
        """Writes to the firm by the form of the page that is open."""
        self.page.get_by_role("textbox").fill(text)
        if photo is not None:
            file = {"name": "stain.jpg", "mimeType": "image/jpeg", "buffer": photo}
            self.page.set_input_files("input[type=file]", [file])  # type: ignore[list-item]
        with self.page.expect_navigation():
            self.page.get_by_role("button", name="Send it to the firm").click()
        self.sees("Sent to the firm")

    def sees(self, words: str) -> None:
        """Asserts that the page says so."""
        expect(self.page.locator("body")).to_contain_text(words)

    def is_refused(self, link: str) -> None:
        """Finds nothing behind a link any more."""
        answer = self.page.goto(link)
        assert answer is not None
        assert answer.status == 404
        self.sees("This link does not work")


@dataclass(frozen=True, slots=True, kw_only=True)
class FourPeople:
    """Who has to do with the roof, and the firm's office."""

    firm_id: str
    wren: Installer
    isa: Supervisor
    client: Outsider
    insurer: Outsider
    olive: Office

    def everybody_comes(self) -> None:
        """The owner sends two links, and each makes an account with theirs."""
        self.olive.sign_in("olive@firm.example")
        self.wren.accept(invitation(self.olive, "Wren Sample", "Installer"))
        self.isa.accept(invitation(self.olive, "Isa Specimen", "Supervisor"))
        prove_by_a_phone(self.isa)
        self.wren.sees("There is no job yet")


@contextmanager
def four_at(site: ServedSite, browser: Browser) -> Iterator[FourPeople]:
    """Five browsers; the firm has nobody yet but its owner."""
    firm_id = add_firm(site.installation, "Slope and Strip (invented)")
    add_account(site.installation, firm_id, "olive", Role.OWNER, Role.OFFICE)
    sizes = (PHONE, DESK, PHONE, DESK, DESK)
    with ExitStack() as stack:
        pages = [stack.enter_context(open_page(browser, size)) for size in sizes]
        wren, isa, client, insurer, olive = pages
        yield FourPeople(
            firm_id=firm_id,
            wren=Installer(wren, site.origin),
            isa=Supervisor(isa, site.origin),
            client=Outsider(page=client),
            insurer=Outsider(page=insurer),
            olive=Office(olive, site.origin),
        )
