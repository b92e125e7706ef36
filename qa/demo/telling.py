"""What the command prints when the demonstration is made."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

from qa.assess.finding import Assessment
from qa.assess.summary import summary_text
from qa.demo.in_site import DemoInSite
from qa.demo.people import DemoLogin
from qa.services.access import Role


def told(assessment: Assessment, folder: Path, packs: Sequence[Path], site: DemoInSite) -> str:
    """The text for the terminal.

    Args:
        assessment: of the demonstration job.
        folder: its job folder.
        packs: its PDFs.
        site: the demonstration as the site has it.
    """
    shown = shlex.quote(str(folder))
    listed = "\n".join(f"  {path}" for path in packs)
    return f"""\
The demonstration job is ready. Firm, people, roof and figures are invented, and every picture is
drawn by the program and says so.

Job folder
  {folder}
Packs
{listed}

{summary_text(assessment)}
The site
  laidtrue serve          then open {site.origin}
{_logins(site.logins)}{_of_another_program(site)}
  These passwords are shown this once; laidtrue demo gives new ones.

To look further
  laidtrue assess {shown}
  laidtrue assess {shown} --json
  laidtrue pack handover {shown} --out handover.pdf
"""


def _logins(logins: Sequence[DemoLogin]) -> str:
    """One log-in a line, one for each role, and how to get a code where one is asked for."""
    shown: dict[tuple[Role, ...], DemoLogin] = {}
    for login in logins:
        shown.setdefault(login.roles, login)
    lines = []
    for login in shown.values():
        role = " and ".join(login.roles)
        lines.append(f"  {role:<12} {login.email:<32} {login.password}")
        if login.secret is not None:
            secret = "".join(login.secret.split())
            lines.append(f"  {'':<12} asks for a code: laidtrue person code {secret}")
    return "\n".join(lines)


def _of_another_program(site: DemoInSite) -> str:
    if site.is_of_this_program:
        return ""
    return """
  The site keeps the demonstration job that another version of the program put there: a ledger
  replaces no record. Name another instance folder for a fresh one."""
