"""What an original photograph says of itself, read from the file again."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from qa.photos.facts import PhotoFacts
from qa.photos.intake import read_facts
from qa.services.access import Actor
from qa.services.installation import Installation
from qa.services.originals import original_path

_KEPT_FACTS = 512


def original_facts(
    installation: Installation, actor: Actor, job_id: str, sha256: str
) -> PhotoFacts:
    """The facts of an original that a job of the actor's firm shows.

    Raises:
        NotFoundError: the job shows none of that digest, or it was erased.
        StoreError: the file is missing though the record names it.
    """
    return facts_of(original_path(installation, actor, job_id, sha256))


@lru_cache(maxsize=_KEPT_FACTS)
def facts_of(path: Path) -> PhotoFacts:
    """The facts of an original's file; one that is named by its digest has the same for ever."""
    return read_facts(path, name="The original")
