"""The handover pack, for a homeowner who was not there: plain words, nothing hidden.

`pack` puts the chapters in order. Each other module makes the context of one chapter, or one part
of it; the templates under `packs/handover/` show the contexts and compute nothing.
"""

from qa.packs.handover.pack import handover_chapters, handover_pack

__all__ = ["handover_chapters", "handover_pack"]
