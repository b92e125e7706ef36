"""The forms of the pages about people."""

from __future__ import annotations

from qa.texts.saying import to_say
from qa.web.account.fields import SeveralField
from qa.web.account.role_words import ROLE_OPTIONS
from qa.web.forms import SiteForm, WordsField


class InviteForm(SiteForm):
    """Whom to invite."""

    name = WordsField(to_say("Name"), required=True, hint=to_say("As people call them."))
    email = WordsField(
        to_say("E-mail"), kind="email", required=True, hint=to_say("They sign in with it.")
    )
    roles = SeveralField(to_say("What they do"), options=ROLE_OPTIONS)


class FirmForm(SiteForm):
    """How the firm is called and reached."""

    name = WordsField(to_say("Name"), required=True, autocomplete="organization")
    address = WordsField(
        to_say("Address"), lines=3, autocomplete="street-address",
        optional_word=to_say("printed on packs"),
    )  # fmt: skip
    phone = WordsField(
        to_say("Telephone"), kind="tel", autocomplete="tel",
        optional_word=to_say("that a homeowner calls when water comes in"),
    )  # fmt: skip
    email = WordsField(
        to_say("E-mail"), kind="email", autocomplete="email",
        optional_word=to_say("printed on packs"),
    )  # fmt: skip


class RolesForm(SiteForm):
    """What a person does."""

    roles = SeveralField(to_say("What they do"), options=ROLE_OPTIONS)
    competence = WordsField(
        to_say("Competence"),
        hint=to_say("Printed in the crew list of new jobs, such as: laminator, eleven years."),
    )
