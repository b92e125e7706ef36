"""One event to its receiver: signed (HMAC-SHA-256, RFC 2104), sent once, answered by a number.

Nothing is followed, nothing of the answer but its status is kept, and connection, request and
answer together may take ten seconds. Finding out the name takes as long as the machine's resolver
lets it, and counts.
"""

from __future__ import annotations

import hashlib
import hmac
import socket
import ssl
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from qa.services.webhook_addresses import (
    ForbiddenAddressError,
    HookAddress,
    Network,
    resolve,
)

PATIENCE_S = 10.0
"""For connection, TLS, request and answer together; what the name took is taken off."""
_LARGEST_HEAD_BYTES = 65_536


class ReceiverError(Exception):
    """The receiver gave no answer; says why in a sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """What is sent: an event that has its place, its time of sending and its signature."""

    id: str
    number: int
    event: str
    body: bytes
    sent_at: datetime
    secrets: tuple[str, ...]

    @property
    def headers(self) -> Mapping[str, str]:
        """The headers that a receiver needs."""
        timestamp = str(int(self.sent_at.timestamp()))
        signed = f"{self.id}.{timestamp}.".encode() + self.body
        return {
            "Content-Type": "application/json",
            "Content-Length": str(len(self.body)),
            "User-Agent": "Laidtrue",
            "Laidtrue-Id": self.id,
            "Laidtrue-Number": str(self.number),
            "Laidtrue-Event": self.event,
            "Laidtrue-Timestamp": timestamp,
            "Laidtrue-Signature": ",".join(signature(one, signed) for one in self.secrets),
            "Connection": "close",
        }


def signature(secret: str, signed: bytes) -> str:
    """HMAC-SHA-256 in hex, by the letters of the secret as they stand."""
    return hmac.new(secret.encode(), signed, hashlib.sha256).hexdigest()


def send_post(
    address: HookAddress,
    post: Post,
    *,
    allowed: Sequence[Network],
    patience_s: float = PATIENCE_S,
    trust: ssl.SSLContext | None = None,
) -> int:
    """Sends it, and answers the status of the receiver's answer.

    Args:
        address: where to.
        post: what.
        allowed: networks that may be asked besides public addresses.
        patience_s: how long everything together may take, s.
        trust: whose certificates are trusted; None for those that the machine trusts.

    Raises:
        ReceiverError: there was no answer, or none that is HTTP.
    """
    deadline = time.monotonic() + patience_s
    try:
        with _connected(address, allowed, deadline, trust) as connection:
            connection.sendall(_request(address, post))
            return _status(connection, deadline)
    except ForbiddenAddressError as error:
        raise ReceiverError(str(error)) from error
    except ssl.SSLCertVerificationError as error:
        raise ReceiverError(f"Its certificate is not good: {error.verify_message}.") from error
    except ssl.SSLError as error:
        raise ReceiverError("It does not speak TLS as it must.") from error
    except TimeoutError as error:
        raise ReceiverError(f"It did not answer within {patience_s:g} seconds.") from error
    except socket.gaierror as error:
        raise ReceiverError("Its name is not known.") from error
    except OSError as error:
        raise ReceiverError("It cannot be reached, or broke the connection off.") from error


def _connected(
    address: HookAddress, allowed: Sequence[Network], deadline: float, trust: ssl.SSLContext | None
) -> socket.socket:
    """A connection to the first of the addresses that takes it."""
    fault: OSError = OSError("the name has no address")
    for ip in resolve(address, allowed):
        try:
            raw = socket.create_connection((str(ip), address.port), timeout=_left(deadline))
        except OSError as error:
            fault = error
            continue
        return _closed_to_others(raw, address, deadline, trust) if address.is_https else raw
    raise fault


def _closed_to_others(
    raw: socket.socket, address: HookAddress, deadline: float, trust: ssl.SSLContext | None
) -> socket.socket:
    """The connection inside TLS, the certificate compared with the name."""
    try:
        raw.settimeout(_left(deadline))
        context = trust or ssl.create_default_context()
        return context.wrap_socket(raw, server_hostname=address.host)
    except BaseException:
        raw.close()
        raise


def _request(address: HookAddress, post: Post) -> bytes:
    lines = [f"POST {address.target} HTTP/1.1", f"Host: {address.host_header}"]
    lines += [f"{name}: {value}" for name, value in post.headers.items()]
    return "\r\n".join((*lines, "", "")).encode("ascii") + post.body


def _status(connection: socket.socket, deadline: float) -> int:
    """The status of the final answer (RFC 9112 4; those of 1xx come before it)."""
    rest = b""
    while True:
        head, rest = _head(connection, rest, deadline)
        version, _, after = head.partition(b" ")
        number = after[:3]
        if not version.startswith(b"HTTP/1.") or not number.isdigit():
            raise ReceiverError("What it answered is not HTTP.")
        if int(number) >= 200:
            return int(number)


def _head(connection: socket.socket, begun: bytes, deadline: float) -> tuple[bytes, bytes]:
    """The lines before the body of an answer, and what came after them already."""
    while b"\r\n\r\n" not in begun:
        connection.settimeout(_left(deadline))
        piece = connection.recv(4096)
        if not piece or len(begun) > _LARGEST_HEAD_BYTES:
            raise ReceiverError("What it answered is not HTTP.")
        begun += piece
    head, _, rest = begun.partition(b"\r\n\r\n")
    return head, rest


def _left(deadline: float) -> float:
    left = deadline - time.monotonic()
    if left <= 0:
        raise TimeoutError
    return left
