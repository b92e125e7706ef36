"""The forms of the account pages."""

from __future__ import annotations

from qa.services.api_tokens import LASTS
from qa.texts.saying import to_say
from qa.web.account.fields import PasswordField
from qa.web.form_fields import ChoiceField, Option
from qa.web.forms import SiteForm, WordsField, YesField

_WORDS = {30: to_say("30 days"), 90: to_say("90 days"), 365: to_say("365 days")}


class SignInForm(SiteForm):
    """E-mail and password."""

    email = WordsField(to_say("E-mail"), kind="email", autocomplete="username", required=True)
    password = PasswordField(to_say("Password"), autocomplete="current-password", required=True)
    stays = YesField(to_say("Stay signed in on this phone for 30 days"))


class SecondForm(SiteForm):
    """The second proof, typed."""

    code = WordsField(
        to_say("Code"),
        autocomplete="one-time-code",
        required=True,
        hint=to_say(
            "The six figures that your authenticator shows now, or one of your recovery codes."
        ),
    )


class AcceptForm(SiteForm):
    """A new account."""

    name = WordsField(
        to_say("Your name"), autocomplete="name", required=True, hint=to_say("As people call you.")
    )
    password = PasswordField(
        to_say("A password"),
        autocomplete="new-password",
        required=True,
        hint=to_say(
            "12 characters or more. Three or four words that have nothing to do with each other "
            "make a good one."
        ),
    )


class RenewForm(SiteForm):
    """A new password for an account that is there."""

    password = PasswordField(
        to_say("A new password"),
        autocomplete="new-password",
        required=True,
        hint=to_say("12 characters or more."),
    )


class PasswordForm(SiteForm):
    """Another password."""

    password = PasswordField(
        to_say("Your password now"), autocomplete="current-password", required=True
    )
    new_password = PasswordField(
        to_say("The new password"),
        autocomplete="new-password",
        required=True,
        hint=to_say(
            "12 characters or more. Three or four words that have nothing to do with each other "
            "make a good one."
        ),
    )


class ConfirmForm(SiteForm):
    """The password again, where the sign-in was some time ago."""

    password = PasswordField(to_say("Your password"), autocomplete="current-password")


class AuthenticatorForm(ConfirmForm):
    """The first code of a new authenticator."""

    code = WordsField(
        to_say("The code that it shows now"), autocomplete="one-time-code", required=True
    )


class PasskeyForm(ConfirmForm):
    """A new passkey."""

    name = WordsField(
        to_say("What you call it"), hint=to_say("Such as my phone, or the key on my ring.")
    )


class TokenForm(ConfirmForm):
    """A new token for a program."""

    name = WordsField(
        to_say("What the program is"), required=True, hint=to_say("Such as logger of the van.")
    )
    days = ChoiceField(
        to_say("How long it works"),
        options=tuple(Option(value=str(days), label=_WORDS[days]) for days in LASTS),
        required=True,
    )
