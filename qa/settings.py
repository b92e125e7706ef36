"""Where this installation keeps what it makes: one frozen value, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
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
DEFAULT_ORIGIN = "http://localhost:8321"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Settings of an installation.

    Attributes:
        instance: folder for everything that is made here: database, photos, keys, the demo job.
        database: address of the database; None for a SQLite file in the instance folder.
        origin: how browsers reach the site, such as "https://roofs.example"; passkeys are tied to
            it, and links in messages begin with it.
        proxies: how many proxies stand before the site; the address of whoever asks is taken from
            what they add. Without one, anybody could name any address, so 0 trusts nobody.
    """

    instance: Path
    database: str | None = None
    origin: str = DEFAULT_ORIGIN
    proxies: int = 0

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
    )


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
