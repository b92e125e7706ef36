"""From a form to the entries that it saves.

The first entry has the id that the form carries; what is saved with it has ids that follow from
that one, so that a form sent twice makes the same entries once.
"""

from __future__ import annotations

from collections.abc import Mapping
from uuid import NAMESPACE_OID, uuid5

from qa.record.fields import Json
from qa.record.registry import Kind
from qa.services.recording import Draft
from qa.web.form_fields import EarlierField
from qa.web.forms import SiteForm
from qa.web.saving import Moment


def draft(
    form: SiteForm,
    moment: Moment,
    kind: Kind,
    body: Mapping[str, Json],
    *,
    part: str = "",
    original: str | None = None,
) -> Draft:
    """One entry of a form.

    Args:
        form: of this request.
        moment: as `qa.web.saving.saved` hands it on.
        kind: of the entry.
        body: its fields; those that hold None are left out.
        part: names an entry that is saved beside the form's own, such as "photo-1".
        original: for a photo, the digest of the original that was handed in.
    """
    own = str(form.entry_id.data)
    return Draft(
        id=part_id(own, part) if part else own,
        kind=kind,
        at=moment.at,
        body={name: value for name, value in body.items() if value is not None},
        original=original,
        at_is_reckoned=not _says_when(form),
    )


def part_id(own: str, part: str) -> str:
    """The id of what is saved beside an entry; the same for the same entry and part."""
    return str(uuid5(NAMESPACE_OID, f"{own}/{part}"))


def _says_when(form: SiteForm) -> bool:
    return any(isinstance(field, EarlierField) and field.data is not None for field in form)
