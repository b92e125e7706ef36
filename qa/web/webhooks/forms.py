"""The forms of the pages about webhooks."""

from __future__ import annotations

from qa.texts.saying import to_say
from qa.web.account.fields import SeveralField
from qa.web.account.forms import ConfirmForm
from qa.web.forms import SiteForm, WordsField, YesField
from qa.web.webhooks.words import EVENT_OPTIONS


class NewWebhookForm(ConfirmForm):
    """Where events are to be sent, and which."""

    address = WordsField(
        to_say("Address of the program"),
        kind="url",
        required=True,
        hint=to_say("Such as https://office.example/roofs. Whoever runs the program knows it."),
    )
    events = SeveralField(to_say("What it is told of"), options=EVENT_OPTIONS)


class EventsForm(SiteForm):
    """Which events are sent."""

    events = SeveralField(to_say("What it is told of"), options=EVENT_OPTIONS)


class SecretForm(ConfirmForm):
    """Another secret."""

    at_once = YesField(to_say("Somebody else may know the one before: let it end at once"))
