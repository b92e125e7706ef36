"""Where events may be sent: read from what was typed, and looked at again when it is resolved.

An address that somebody types is a way to let this machine ask others in its own network. So only
public addresses are asked, whatever the name resolves to at that moment, unless the operator names
a network as allowed; and the connection goes to the very address that was looked at.
"""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Sequence
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network
from urllib.parse import urlsplit

from qa.errors import AccountError
from qa.services.typed_people import fault_of

IP = IPv4Address | IPv6Address
Network = IPv4Network | IPv6Network
LONGEST_ADDRESS = 500
_EMBEDDING = tuple(map(IPv6Network, ("64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "2001::/32")))
"""IPv6 networks whose addresses stand for IPv4 addresses (RFC 6052, 8215, 3056, 4380)."""


class ForbiddenAddressError(Exception):
    """The address leads where nothing is sent; says so in a sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HookAddress:
    """An address that events are sent to.

    Attributes:
        host: in letters of ASCII.
        target: path and query.
    """

    is_https: bool
    host: str
    port: int
    target: str

    @property
    def host_header(self) -> str:
        """As a request names the host."""
        name = f"[{self.host}]" if ":" in self.host else self.host
        usual = 443 if self.is_https else 80
        return name if self.port == usual else f"{name}:{self.port}"


def read_address(text: str, allowed: Sequence[Network]) -> HookAddress:
    """An address from what was typed.

    Args:
        text: as it was typed.
        allowed: networks that the operator allows besides public addresses.

    Raises:
        AccountError: says what is wrong with it; of the field account.address.
    """
    address = parse_address(text.strip())
    if address is None:
        raise _refused("Write the whole address, such as https://office.example/roofs?from=site.")
    literal = _literal(address.host)
    is_here = address.host == "localhost" or (literal is not None and literal.is_loopback)
    if not address.is_https and not (is_here and any(network.is_loopback for network in allowed)):
        raise _refused("Begin the address with https://, so that nobody reads or changes events.")
    if literal is not None and not is_allowed(literal, allowed):
        raise _refused(_NOT_PUBLIC)
    return address


def parse_address(text: str) -> HookAddress | None:
    """An address from its text, or None where it is none."""
    if not text.isascii() or not text.isprintable() or " " in text or len(text) > LONGEST_ADDRESS:
        return None
    try:
        parts = urlsplit(text)
        host, port = parts.hostname, parts.port
    except ValueError:
        return None
    if parts.scheme not in ("https", "http") or not host or "@" in parts.netloc or parts.fragment:
        return None
    is_https = parts.scheme == "https"
    target = f"{parts.path or '/'}{f'?{parts.query}' if parts.query else ''}"
    usual = 443 if is_https else 80
    return HookAddress(is_https=is_https, host=host, port=port or usual, target=target)


def resolve(address: HookAddress, allowed: Sequence[Network]) -> tuple[IP, ...]:
    """The network addresses of a host, every one of which may be asked.

    Raises:
        ForbiddenAddressError: one of them may not.
        OSError: the name is not known.
    """
    found = socket.getaddrinfo(address.host, address.port, type=socket.SOCK_STREAM)
    addresses = tuple(dict.fromkeys(ipaddress.ip_address(str(one[4][0])) for one in found))
    if not all(is_allowed(one, allowed) for one in addresses):
        raise ForbiddenAddressError(_NOT_PUBLIC)
    if not address.is_https and not all(one.is_loopback for one in addresses):
        raise ForbiddenAddressError("Without https:// events go to this machine only.")
    return addresses


def is_allowed(address: IP, allowed: Sequence[Network]) -> bool:
    """Whether a network address may be asked: it is public, or the operator allows it."""
    plain = address
    if isinstance(address, IPv6Address):
        plain = address.ipv4_mapped or address
    if any(plain in network for network in allowed if network.version == plain.version):
        return True
    if any(plain in network for network in _EMBEDDING if plain.version == network.version):
        return False
    return plain.is_global and not plain.is_multicast


_NOT_PUBLIC = (
    "This address lies inside a private network, where nothing is sent. Whoever runs this "
    "installation can allow the network by LAIDTRUE_WEBHOOK_NETWORKS."
)


def _literal(host: str) -> IP | None:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None


def _refused(sentence: str) -> AccountError:
    return AccountError(fault_of("address", sentence))
