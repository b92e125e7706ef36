"""Which route asks for which act: the one table of the site.

A route that is not named here answers nobody. The services ask `require` again for what a form of a
page does; the table keeps pages from people who could do nothing there.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType

from flask import request

from qa.errors import NotSignedInError
from qa.services.access import Act, require
from qa.texts.saying import say
from qa.web.frame import actor

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
"""Methods that change nothing."""


class Anyone(Enum):
    """Who need not sign in."""

    AT_ALL = "anyone at all"


class UnlistedRouteError(LookupError):
    """A route was added and the table of routes does not say who may use it."""


_ANYONE = (
    "site.asset", "site.help", "site.webhooks", "site.healthy", "site.ready",
    "account.sign_in", "account.second", "account.passkey_options", "account.passkey_answer",
    "account.accept", "account.appearance", "account.sign_out", "api.description",
    # Behind a link, whose word in the address is what they ask for.
    "owner.pack", "owner.pdf", "owner.photo", "owner.calendar", "owner.inspections",
    "owner.report", "owner.report_photo",
    "insurer.front", "insurer.record", "insurer.entry", "insurer.photo", "insurer.folder",
    "insurer.folder_with_names", "insurer.questions",
)  # fmt: skip
_BY_ACT: Mapping[Act, tuple[str, ...]] = {
    Act.KEEP_OWN_ACCOUNT: (
        "account.sign_out_everywhere", "account.me", "account.welcome",
        "account.set_up", "account.password", "account.authenticator",
        "account.remove_authenticator", "account.passkeys", "account.new_passkey_options",
        "account.remove_passkey", "account.recovery", "account.tokens", "account.end_token",
    ),
    Act.SEE_PEOPLE: ("people.everyone", "people.person"),
    Act.INVITE: ("people.invite", "people.invitation_end"),
    Act.KEEP_FIRM: ("people.firm",),
    Act.MANAGE_PEOPLE: ("people.roles", "people.end", "people.new_password"),
    Act.READ_JOBS: (
        "roof.jobs", "roof.job", "roof.stage", "roof.crew", "roof.record", "roof.entry",
        "roof.packs", "roof.pack", "roof.pack_state", "roof.photo", "roof.bays", "roof.checks",
        "roof.lots", "roof.instruments", "roof.findings", "roof.nonconformity", "roof.mix_made",
        "roof.interruption", "roof.new_photo", "roof.outside", "roof.area",
        "roof.messages", "roof.message", "roof.message_photo", "roof.list_csv", "desk.jobs_csv",
        "api.jobs", "api.job", "api.record", "api.assessment", "api.record_entries",
        "api.packs", "api.pack", "api.pack_file",
    ),
    Act.SEE_DESK: (
        "desk.needs_me", "desk.next_release", "desk.releases", "desk.messages",
        "desk.findings", "desk.late", "desk.packs", "desk.search", "desk.batches",
        "desk.batch", "desk.recall",
        "desk.findings_csv", "desk.releases_csv", "desk.batches_csv", "desk.late_csv",
        "desk.packs_csv", "desk.search_csv", "desk.audit_csv", "desk.specifications_csv",
        "desk.messages_csv",
        "desk.people_csv", "desk.drift", "desk.audit",
        "desk.audit_result",
        "desk.specifications", "desk.specification", "desk.specification_file",
        "desk.compare_specification", "desk.try_specification", "desk.trial_state",
        "desk.job", "desk.ask_photo", "desk.photo",
    ),
    Act.SEND_EVENTS: (
        "webhooks.register", "webhooks.webhook", "webhooks.events", "webhooks.secret",
        "webhooks.end", "webhooks.trial", "webhooks.pause", "webhooks.go_on",
        "webhooks.delivery", "webhooks.again", "webhooks.register_csv", "webhooks.deliveries_csv",
    ),
    Act.SET_LIMITS: (
        "desk.new_specification", "desk.begin_draft", "desk.draft", "desk.draft_line",
        "desk.compare_draft", "desk.try_draft", "desk.draft_trial_state", "desk.publish_draft",
        "desk.end_draft",
    ),
    Act.SHARE: ("roof.links", "roof.end_link", "roof.links_csv"),
    Act.START_JOB: ("roof.start", "roof.new_area"),
    Act.TAKE_IN: ("roof.take_in",),
    Act.TAKE_OUT: ("roof.take_out", "roof.folder", "api.folder"),
    Act.RECORD_WORK: (
        "roof.mix", "roof.mix_emptied", "roof.conditions", "roof.bay",
        "roof.logger", "roof.logger_file", "roof.bulk", "roof.bulk_place", "roof.bulk_clock",
        "roof.bulk_one", "roof.bulk_picture", "roof.bulk_times",
        "roof.check", "roof.new_lot", "roof.new_instrument", "roof.bring_instruments",
        "roof.usage",
        "roof.stop", "roof.close", "roof.bar_code",
        "uploads.create", "uploads.piece",
        "api.uploads.create", "api.uploads.piece", "api.put_photo",
    ),
    Act.MARK_PHOTOS: ("roof.marks",),
    Act.WRITE_NOTES: ("roof.correct", "roof.note", "roof.raise_nonconformity", "roof.inspection"),
    Act.SIGN_OFF: ("roof.sign_off",),
    Act.RELEASE: ("roof.release",),
    Act.DECIDE: ("roof.decide",),
    Act.MAKE_PACKS: ("roof.hand_over", "api.ask_for_pack"),
    Act.ERASE: ("roof.erasure",),
}  # fmt: skip

ROUTES: Mapping[str, Act | Anyone] = MappingProxyType(
    dict.fromkeys(_ANYONE, Anyone.AT_ALL)
    | {endpoint: act for act, endpoints in _BY_ACT.items() for endpoint in endpoints}
)
"""Every endpoint, and what a person must be allowed to do to reach it."""

CHANGES: Mapping[str, Act] = MappingProxyType(
    {
        "roof.packs": Act.MAKE_PACKS,
        "roof.new_photo": Act.RECORD_WORK,
        "roof.message": Act.WRITE_NOTES,
    }
)
"""What sending a page's form asks for, where more people may read the page."""


def act_of(endpoint: str, method: str) -> Act | Anyone:
    """What a person must be allowed to do for a request.

    Args:
        endpoint: of a route.
        method: of the request.

    Raises:
        UnlistedRouteError: the table does not name the route.
    """
    act = ROUTES.get(endpoint)
    if act is None:
        raise UnlistedRouteError(f"{endpoint} is not in qa.web.access.ROUTES; add it.")
    return act if method in SAFE else CHANGES.get(endpoint, act)


def check_access() -> None:
    """Lets the request through, or refuses it before anything was read of it.

    Raises:
        NotSignedInError: nobody is signed in and the route is not for anyone, or a second proof
            that their role asks for is not set up.
        NotAllowedError: the person's roles do not allow the act.
        UnlistedRouteError: the table does not name the route.
    """
    if request.endpoint is None:
        return
    act = act_of(request.endpoint, request.method)
    if not isinstance(act, Act):
        return
    someone = actor()
    if someone.owes_second_factor and act is not Act.KEEP_OWN_ACCOUNT:
        raise NotSignedInError(
            say(
                "Your role asks for a second proof at the sign-in. Set one up on your account page "
                "first; then everything is open to you."
            )
        )
    require(someone, act)
