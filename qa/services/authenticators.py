"""An authenticator as second factor: its set-up, and its codes (RFC 6238).

The secret is kept sealed; a code works once. While it is being set up, the secret travels sealed in
the form, so that nothing is kept of a set-up that is never finished.
"""

from __future__ import annotations

import base64
import binascii
import hmac
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pyotp
import segno
from sqlalchemy.orm import Session

from qa.errors import AccountError, Problem, StoreError
from qa.services.access import Actor
from qa.services.confirming import Confirmation, account_of, confirm
from qa.services.second_factor import Renewed, refuse_to_go_without, renew
from qa.services.vault import seal, unseal
from qa.store import accounts
from qa.store.accounts import Account

if TYPE_CHECKING:
    from qa.services.installation import Installation

STEP_S = 30
STEPS_OFF = 1
"""How many time steps a phone's clock may be off (RFC 6238 5.2)."""
SET_UP_WITHIN = timedelta(hours=1)
_ISSUER = "Laidtrue"
_SEALED, _SET_UP = "authenticator", "authenticator being set up"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """An authenticator that is being set up.

    Attributes:
        sealed: travels in the form; the secret, sealed for this person and for an hour.
        groups: the secret in groups of four, for typing it in.
        picture: a picture of the same for the phone's camera, as a data address.
    """

    sealed: str = field(repr=False)
    groups: str = field(repr=False)
    picture: str = field(repr=False)


def begin_authenticator(installation: Installation, actor: Actor, *, now: datetime) -> SetUp:
    """A new secret to be put into an authenticator; nothing is kept yet."""
    return _set_up(installation, actor, pyotp.random_base32(), now=now)


def go_on_with(installation: Installation, actor: Actor, sealed: str, *, now: datetime) -> SetUp:
    """The same set-up again, or a new one where it is too old or not this person's."""
    try:
        secret = _secret_of(installation, actor, sealed, now=now)
    except AccountError:
        return begin_authenticator(installation, actor, now=now)
    return _set_up(installation, actor, secret, now=now)


def finish_authenticator(
    installation: Installation,
    actor: Actor,
    *,
    sealed: str,
    code: str,
    confirmation: Confirmation,
    now: datetime,
) -> Renewed:
    """Keeps an authenticator that has shown a right code, in the place of any former one.

    Raises:
        AccountError: the code does not fit, the set-up is too old, or the password is wrong.
    """
    account = confirm(installation, actor, confirmation, now=now)
    secret = _secret_of(installation, actor, sealed, now=now)
    step = _fitting_step(secret, code, now=now)
    if step is None:
        raise _fault(
            "code",
            "The code does not fit. Check that the phone sets its clock by itself, and type the "
            "six figures that it shows now.",
        )
    kept = seal_secret(installation, account.id, secret)
    with installation.store.writing() as session:
        accounts.set_authenticator(session, account.id, kept, step=step)
        return renew(installation, session, account.id)


def remove_authenticator(
    installation: Installation, actor: Actor, confirmation: Confirmation, *, now: datetime
) -> Renewed:
    """Takes an authenticator away.

    Raises:
        AccountError: the password is wrong.
        NotAllowedError: a role asks for a second factor and this is the only one.
    """
    account = confirm(installation, actor, confirmation, now=now)
    with installation.store.writing() as session:
        accounts.set_authenticator(session, account.id, None, step=None)
        refuse_to_go_without(session, account.id)
        return renew(installation, session, account.id)


def is_right_code(
    installation: Installation, session: Session, account: Account, code: str, *, now: datetime
) -> bool:
    """Whether it is a code of the account's authenticator; it is used up by that."""
    if account.totp_secret is None:
        return False
    clear = unseal(
        installation.seal_key, account.totp_secret, purpose=_SEALED, whose=account.id
    ).decode()
    step = _fitting_step(clear, code, now=now)
    return step is not None and accounts.take_step(session, account.id, step)


def code_now(secret: str, *, now: datetime) -> str:
    """The code that an authenticator with that secret shows now.

    Raises:
        AccountError: it is no secret.
    """
    try:
        return pyotp.TOTP("".join(secret.split())).generate_otp(_step(now))
    except (binascii.Error, ValueError) as error:
        raise _fault("secret", "This is no secret of an authenticator.") from error


def seal_secret(installation: Installation, person_id: str, secret: str) -> bytes:
    """An authenticator's secret as it is kept."""
    return seal(installation.seal_key, secret.encode(), purpose=_SEALED, whose=person_id)


def _set_up(installation: Installation, actor: Actor, secret: str, *, now: datetime) -> SetUp:
    account = account_of(installation, actor)
    clear = f"{int(now.timestamp())} {secret}".encode()
    sealed = seal(installation.seal_key, clear, purpose=_SET_UP, whose=actor.person_id)
    address = pyotp.TOTP(secret).provisioning_uri(name=account.email, issuer_name=_ISSUER)
    return SetUp(
        sealed=base64.urlsafe_b64encode(sealed).decode(),
        groups=" ".join(secret[at : at + 4] for at in range(0, len(secret), 4)),
        picture=segno.make(address, error="m").svg_data_uri(light="#fff", border=4),
    )


def _secret_of(installation: Installation, actor: Actor, sealed: str, *, now: datetime) -> str:
    try:
        clear = unseal(
            installation.seal_key,
            base64.urlsafe_b64decode(sealed),
            purpose=_SET_UP,
            whose=actor.person_id,
        )
    except (StoreError, ValueError) as error:
        raise _fault("code", "This set-up is not yours. Begin it again.") from error
    began_s, secret = clear.decode().split()
    if now - datetime.fromtimestamp(int(began_s), UTC) > SET_UP_WITHIN:
        raise _fault("code", "This set-up was begun long ago. Take the new picture below.")
    return secret


def _fitting_step(secret: str, code: str, *, now: datetime) -> int | None:
    typed = "".join(code.split())
    totp = pyotp.TOTP(secret)
    fitting = None
    for step in range(_step(now) - STEPS_OFF, _step(now) + STEPS_OFF + 1):
        if hmac.compare_digest(totp.generate_otp(step).encode(), typed.encode()):
            fitting = step
    return fitting


def _step(now: datetime) -> int:
    return int(now.timestamp()) // STEP_S


def _fault(name: str, sentence: str) -> AccountError:
    return AccountError(Problem(place="account", field=f"account.{name}", sentence=sentence))
