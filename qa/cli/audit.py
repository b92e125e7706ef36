"""`laidtrue audit`."""

from __future__ import annotations

import click

from qa.cli.answering import say
from qa.cli.options import json_option


@click.command()
@click.option("--roofs", type=int, metavar="N", help="Roofs to draw from.")
@click.option("--photos", type=int, metavar="N", help="Photos to draw from, in place of roofs.")
@click.option(
    "--share-bad",
    type=float,
    default=10.0,
    show_default=True,
    metavar="%",
    help="Share of bad ones that must not pass unseen.",
)
@click.option(
    "--risk",
    type=float,
    default=5.0,
    show_default=True,
    metavar="%",
    help="Greatest accepted chance of seeing none of them.",
)
@click.option(
    "--aql",
    type=float,
    default=2.5,
    show_default=True,
    metavar="%",
    help="Acceptable quality level of the standard: 0.65, 1, 1.5, 2.5, 4, 6.5, 10 or 15.",
)
@json_option
def audit(
    roofs: int | None,
    photos: int | None,
    share_bad: float,
    risk: float,
    aql: float,
    as_json: bool,
) -> None:
    """Say how many roofs or photos to audit, and what looking at so many can tell.

    Two answers: the smallest sample that is unlikely to miss every bad one (hypergeometric, none
    may be bad), and the plan of MIL-STD-105E at an acceptable quality level.

    \b
    Example: of 60 roofs, 6 bad ones (10 %) must not pass unseen, at a risk of 5 %: audit 23, of
    which none may be bad. MIL-STD-105E at 2.5 % asks for 20, of which 1 may be bad; with 6 bad
    among the 60 that plan lets the lot pass in 34 % of cases.
      laidtrue audit --roofs 60
      laidtrue audit --photos 1200 --share-bad 2 --aql 1 --json
    """
    from qa.services.auditing import audit_json, audit_text, plan_audit

    if (roofs is None) is (photos is None):
        raise click.UsageError("Give --roofs or --photos, one of them.")
    planned = plan_audit(
        roofs if roofs is not None else photos or 0,
        items="photos" if roofs is None else "roofs",
        share_bad_pct=share_bad,
        risk_pct=risk,
        aql_pct=aql,
    )
    say(audit_json(planned) if as_json else audit_text(planned))
