"""The forms of the pages about people."""

from __future__ import annotations

from qa.web.account.fields import SeveralField
from qa.web.account.role_words import ROLE_OPTIONS
from qa.web.forms import SiteForm, WordsField


class InviteForm(SiteForm):
    """Whom to invite."""

    name = WordsField("Name", required=True, hint="As people call them.")
    email = WordsField("E-mail", kind="email", required=True, hint="They sign in with it.")
    roles = SeveralField("What they do", options=ROLE_OPTIONS)


class RolesForm(SiteForm):
    """What a person does."""

    roles = SeveralField("What they do", options=ROLE_OPTIONS)
    competence = WordsField(
        "Competence",
        hint="Printed in the crew list of new jobs, such as: laminator, eleven years.",
    )
