"""`laidtrue person`: what the keeper of an installation does about people without signing in."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from qa.cli import clock
from qa.cli.answering import say
from qa.cli.installed import opened
from qa.settings import Settings

if TYPE_CHECKING:
    from datetime import datetime

    from qa.services.inviting import Link
    from qa.services.keeper import Listed

ROLES = ("installer", "supervisor", "office", "owner")


@click.group()
def person() -> None:
    """People of the site: list and invite them, help them in again, end their accounts.

    Everything but the first owner of a firm is easier on the site itself.
    """


@person.command("list")
@click.pass_obj
def list_(settings: Settings) -> None:
    """List everybody, firm by firm."""
    from qa.services.keeper import list_people

    with opened(settings) as installation:
        people = list_people(installation)
    if not people:
        say("Nobody is here yet. `laidtrue person add` invites the first owner of a firm.\n")
        return
    say("".join(f"{_line(one)}\n" for one in people))


@person.command()
@click.option("--firm", required=True, help="The firm; it is made where it is not there yet.")
@click.option("--name", required=True, help="The person, as people call them.")
@click.option("--email", required=True, help="What they will sign in with.")
@click.option(
    "--role",
    "roles",
    required=True,
    multiple=True,
    type=click.Choice(ROLES),
    help="What they do; may be given several times. A firm's first person is an owner.",
)
@click.pass_obj
def add(settings: Settings, firm: str, name: str, email: str, roles: tuple[str, ...]) -> None:
    """Invite a person, and print the link by which they choose their password.

    The link is printed this once, works once, and works for seven days.

    \b
    Example:
      laidtrue person add --firm "Level & Lap" --name "Pat Example" \\
          --email pat@level-and-lap.example --role owner
    """
    from qa.services.keeper import add_person
    from qa.services.typed_people import read_person

    typed = read_person(email=email, name=name, roles=roles)
    with opened(settings) as installation:
        link = add_person(installation, firm, typed, now=clock.now())
    say(_link_text(link))


@person.command()
@click.argument("email")
@click.pass_obj
def password(settings: Settings, email: str) -> None:
    """Print a link by which the person with EMAIL gives themselves a new password."""
    from qa.services.keeper import new_password_link

    with opened(settings) as installation:
        link = new_password_link(installation, email, now=clock.now())
    say(_link_text(link))


@person.command("reset")
@click.argument("email")
@click.pass_obj
def reset(settings: Settings, email: str) -> None:
    """Take away passkeys, authenticator and recovery codes of the person with EMAIL.

    For whoever has lost them all; make sure who asks you.
    """
    from qa.services.keeper import reset_second_factor

    with opened(settings) as installation:
        name = reset_second_factor(installation, email)
    say(f"{name} signs in with the password alone now, and is signed out everywhere.\n")


@person.command()
@click.argument("email")
@click.pass_obj
def end(settings: Settings, email: str) -> None:
    """End the account of the person with EMAIL; what they recorded stays."""
    from qa.services.keeper import end_person

    with opened(settings) as installation:
        name = end_person(installation, email, now=clock.now())
    say(f"{name} can no longer sign in. What they recorded stays as it is.\n")


@person.command()
@click.argument("secret", nargs=-1, required=True)
def code(secret: tuple[str, ...]) -> None:
    """Print the code that an authenticator with SECRET shows now.

    It stands in for a phone where the demonstration is tried out. It needs the secret and opens no
    database, so it gives nobody a way in that they had not before.
    """
    from qa.services.authenticators import code_now

    say(f"{code_now(' '.join(secret), now=clock.now())}\n")


def _link_text(link: Link) -> str:
    until = f"{_day(link.expires_at)}, {link.expires_at:%H:%M} UTC"
    return (
        f"Send this link to {link.name} <{link.email}>. It works once, until {until}, and is not "
        f"shown again:\n\n{link.address}\n"
    )


def _line(one: Listed) -> str:
    proof = "second factor" if one.has_second_factor else "password only"
    state = f"left {_day(one.ended_at)}" if one.ended_at else f"{one.email}, {proof}"
    return f"{one.firm}: {one.name} ({one.key}), {', '.join(one.roles)}; {state}"


def _day(moment: datetime) -> str:
    return f"{moment.day} {moment:%B %Y}"
