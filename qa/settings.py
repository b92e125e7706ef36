"""Where this installation keeps what it makes: one frozen value, read once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from ipaddress import IPv4Network, IPv6Network, ip_network
from pathlib import Path

from qa.errors import SettingError

INSTANCE_VARIABLE = "LAIDTRUE_INSTANCE"
"""Names the instance folder where it is not the checkout's own."""
DATABASE_VARIABLE = "LAIDTRUE_DATABASE"
"""Names the database where it is not the instance folder's SQLite file."""
ORIGIN_VARIABLE = "LAIDTRUE_ORIGIN"
"""Names the site's own address where it is not loopback."""
PROXIES_VARIABLE = "LAIDTRUE_PROXIES"
"""Says how many proxies stand before the site, whose word about who asks is trusted."""
MOST_PROXIES = 5
WEBHOOK_NETWORKS_VARIABLE = "LAIDTRUE_WEBHOOK_NETWORKS"
"""Names networks that events may be sent into besides public addresses, with commas between."""
DEFAULT_ORIGIN = "http://localhost:8321"


SMTP = "LAIDTRUE_SMTP_"
"""Begins the names of what says how e-mail goes out: HOST, PORT, USER, PASSWORD, FROM, TLS."""


class MailTls(StrEnum):
    """How the way to the mail server is closed to others."""

    STARTTLS = "starttls"
    TLS = "tls"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class MailServer:
    """The server that sends e-mail on.

    Attributes:
        sender: the address that messages come from.
        user: nothing where the server asks for no sign-in.
    """

    host: str
    port: int
    sender: str
    tls: MailTls = MailTls.STARTTLS
    user: str = ""
    password: str = field(default="", repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Settings of an installation.

    Attributes:
        instance: folder for everything that is made here: database, photos, keys, the demo job.
        database: address of the database; None for a SQLite file in the instance folder.
        origin: how browsers reach the site, such as "https://roofs.example"; passkeys are tied to
            it, and links in messages begin with it.
        mail: the server that sends e-mail on; None where none is sent.
        proxies: how many proxies stand before the site; the address of whoever asks is taken from
            what they add. Without one, anybody could name any address, so 0 trusts nobody.
        webhook_networks: networks that events may be sent into besides public addresses; plain
            http is taken for loopback alone, where it is among them.
    """

    instance: Path
    database: str | None = None
    origin: str = DEFAULT_ORIGIN
    proxies: int = 0
    mail: MailServer | None = None
    webhook_networks: tuple[IPv4Network | IPv6Network, ...] = ()

    @property
    def renditions(self) -> Path:
        """Copies of photos, by digest."""
        return self.instance / "renditions"

    @property
    def database_url(self) -> str:
        """Where the database is; by default a file in the instance folder."""
        return self.database or f"sqlite:///{self.instance / 'laidtrue.db'}"

    @property
    def originals(self) -> Path:
        """The original photographs, by digest."""
        return self.instance / "originals"

    @property
    def papers(self) -> Path:
        """The packs that were made, by digest."""
        return self.instance / "papers"

    @property
    def arriving(self) -> Path:
        """Photos of which not all pieces have arrived."""
        return self.instance / "arriving"

    @property
    def logger_files(self) -> Path:
        """Loggers' files that wait to be looked at."""
        return self.instance / "logger-files"

    @property
    def keys(self) -> Path:
        """Secrets that the installation makes for itself at its first start."""
        return self.instance / "keys"

    @property
    def demo(self) -> Path:
        """The demo job and its packs."""
        return self.instance / "demo"


def read_settings(environment: Mapping[str, str], *, home: Path) -> Settings:
    """The settings of this installation.

    Args:
        environment: variables, of which those named above are read.
        home: the user's home folder, used where neither that variable nor a checkout says where.

    Raises:
        SettingError: a variable that does not say what it must.
    """
    return Settings(
        instance=_instance(environment.get(INSTANCE_VARIABLE), home),
        database=environment.get(DATABASE_VARIABLE) or None,
        origin=environment.get(ORIGIN_VARIABLE) or DEFAULT_ORIGIN,
        proxies=_proxies(environment.get(PROXIES_VARIABLE) or "0"),
        mail=_mail(environment),
        webhook_networks=tuple(_networks(environment.get(WEBHOOK_NETWORKS_VARIABLE, ""))),
    )


def _mail(environment: Mapping[str, str]) -> MailServer | None:
    """The mail server; None where no host is named.

    Raises:
        SettingError: a host is named and the rest does not tell how to send through it.
    """
    named = {
        name: environment.get(SMTP + name, "")
        for name in ("HOST", "PORT", "USER", "PASSWORD", "FROM", "TLS")
    }
    if not named["HOST"]:
        return None
    port, tls = named["PORT"] or "587", named["TLS"] or MailTls.STARTTLS
    if not (port.isascii() and port.isdigit() and 0 < int(port) < 65536):
        raise SettingError(f"{SMTP}PORT is “{port}”; it is a number up to 65535, such as 587.")
    if tls not in set(MailTls):
        raise SettingError(f"{SMTP}TLS is “{tls}”; it is starttls, tls or none.")
    if "@" not in named["FROM"]:
        raise SettingError(
            f"{SMTP}FROM is “{named['FROM']}”; it is the address messages come from."
        )
    return MailServer(
        host=named["HOST"], port=int(port), sender=named["FROM"], tls=MailTls(tls),
        user=named["USER"], password=named["PASSWORD"],
    )  # fmt: skip


def _networks(named: str) -> Iterator[IPv4Network | IPv6Network]:
    for one in filter(None, map(str.strip, named.split(","))):
        try:
            yield ip_network(one)
        except ValueError as error:
            raise SettingError(
                f"{WEBHOOK_NETWORKS_VARIABLE} names “{one}”; a network is written as 10.1.0.0/16, "
                "several with commas between."
            ) from error


def _proxies(named: str) -> int:
    if not (named.isdecimal() and int(named) <= MOST_PROXIES):
        raise SettingError(
            f"{PROXIES_VARIABLE} is “{named}”; it is how many proxies stand before the site, "
            f"a number from 0 to {MOST_PROXIES}."
        )
    return int(named)


def _instance(named: str | None, home: Path) -> Path:
    if named:
        return Path(named).expanduser().absolute()
    checkout = Path(__file__).resolve().parents[1] / "instance"
    return checkout if checkout.is_dir() else home / ".local" / "share" / "laidtrue"
