"""Short warnings that stand where the hand is, by the check that is being made there.

In our own words; the supplier's safety data sheet and local rules come first, and the pages say so.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from qa.texts.saying import to_say

_FIRST = to_say("The supplier’s safety data sheet and local rules come first.")
DUST = to_say("Dust from cutting and sanding harms lungs and eyes: mask and goggles on.")
HEIGHT = to_say("Work at the edge only behind edge protection, and never on wet resin.")
SOLVENT = to_say(
    "Solvent is highly flammable: no flame or spark near it, lid back on, fresh air. "
    "Keep the catalyst away from it."
)
VAPOUR = to_say(
    "Resin gives off styrene and burns: fresh air, gloves and goggles, no flame or spark."
)
STRUCTURE = to_say(
    "Timbers that are weak or moving carry nobody. What concerns structure, fire or ventilation "
    "goes to building control."
)
UNCURED = to_say("Laminate that still pulls is soft: do not walk on it.")

_BY_CHECK: Mapping[str, str] = MappingProxyType(
    {
        "survey.joist_centres": STRUCTURE,
        "survey.joists_sound": STRUCTURE,
        "survey.ventilation": STRUCTURE,
        "survey.walls_and_gutters": HEIGHT,
        "deck.board": DUST,
        "deck.offcut_length": DUST,
        "deck.offcut_joists": STRUCTURE,
        "bandage.joints_covered": VAPOUR,
        "bandage.corner_strip": VAPOUR,
        "bandage.wet_out": VAPOUR,
        "laminate.mat_overlap": VAPOUR,
        "laminate.roller_loads": to_say(
            "Resin gives off styrene and burns: fresh air, gloves and goggles, no flame or spark. "
            "Hard rolling in wind throws a fine mist: keep upwind."
        ),
        "topcoat.laminate_cured": UNCURED,
        "topcoat.sanded": DUST,
        "topcoat.wiped": SOLVENT,
        "topcoat.coverage": VAPOUR,
        "completion.flashings": HEIGHT,
        "completion.edges_clean": HEIGHT,
    }
)
_BY_GROUP: Mapping[str, str] = MappingProxyType({"trims": HEIGHT})


def caution_of(check: str) -> str:
    """The warning that belongs to a check, or nothing."""
    words = _BY_CHECK.get(check) or _BY_GROUP.get(check.partition(".")[0])
    return f"{words} {_FIRST}" if words else ""
