"""The link of an invitation, which whoever sends it by e-mail can make again.

Its token follows from the installation's own secret and the invitation's id, so that no table and
no task need hold it; nobody without the secret can.
"""

from __future__ import annotations

import base64
from typing import TYPE_CHECKING

from qa.services.vault import keyed_digest

if TYPE_CHECKING:
    from qa.services.installation import Installation


def invitation_token(installation: Installation, invitation_id: str) -> str:
    """The token of an invitation, of 256 bits."""
    digest = keyed_digest(installation.seal_key, invitation_id, purpose="invitation link")
    return base64.urlsafe_b64encode(bytes.fromhex(digest)).decode().rstrip("=")


def invitation_address(installation: Installation, invitation_id: str) -> str:
    """The whole address that an invitation leads to."""
    token = invitation_token(installation, invitation_id)
    return f"{installation.settings.origin.rstrip('/')}/invitations/{token}"
