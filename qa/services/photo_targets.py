"""What a photograph is said to show: stage and place, as one value that a form can carry."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields

from qa.record.fields import Json
from qa.trade.vocabulary import Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTarget:
    """What the entry of a photograph will name; None for what it does not."""

    stage: Stage
    area: str | None = None
    check: str | None = None
    edge: str | None = None
    bay: str | None = None
    lot: str | None = None
    mix: str | None = None
    caption: str | None = None

    @property
    def body(self) -> dict[str, Json]:
        """The fields of the entry."""
        return {name: str(value) for name, value in asdict(self).items() if value}

    @property
    def text(self) -> str:
        """As a form carries it."""
        return json.dumps(self.body, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


_NAMES = frozenset(field.name for field in fields(PhotoTarget))


def target_of(text: str) -> PhotoTarget | None:
    """A target from what `PhotoTarget.text` wrote; None where it is none."""
    try:
        held = json.loads(text)
    except ValueError:
        return None
    if not isinstance(held, dict) or not held.keys() <= _NAMES:
        return None
    if not all(isinstance(value, str) for value in held.values()):
        return None
    if held.get("stage") not in {stage.value for stage in Stage}:
        return None
    return PhotoTarget(**held | {"stage": Stage(held["stage"])})
