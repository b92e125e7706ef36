"""Where this installation keeps what it makes: one frozen value, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

INSTANCE_VARIABLE = "LAIDTRUE_INSTANCE"
"""Names the instance folder where it is not the checkout's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Settings of an installation.

    Attributes:
        instance: folder for everything that is made here: photo copies, the demo job, its packs.
    """

    instance: Path

    @property
    def renditions(self) -> Path:
        """Copies of photos, by digest."""
        return self.instance / "renditions"

    @property
    def demo(self) -> Path:
        """The demo job and its packs."""
        return self.instance / "demo"


def read_settings(environment: Mapping[str, str], *, home: Path) -> Settings:
    """The settings of this installation.

    Args:
        environment: variables, of which `LAIDTRUE_INSTANCE` is read.
        home: the user's home folder, used where neither that variable nor a checkout says where.
    """
    named = environment.get(INSTANCE_VARIABLE)
    if named:
        return Settings(instance=Path(named).expanduser().absolute())
    checkout = Path(__file__).resolve().parents[1] / "instance"
    if checkout.is_dir():
        return Settings(instance=checkout)
    return Settings(instance=home / ".local" / "share" / "laidtrue")
