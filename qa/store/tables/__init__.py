"""Every table, so that the metadata is whole wherever one of them is known."""

from qa.store.tables.ledger import DisclosureRow, EntryRow, JobRow, OriginalRow, PhotoRow
from qa.store.tables.links import LinkRow, MessageRow
from qa.store.tables.people import (
    FirmRow,
    InvitationRow,
    PasskeyRow,
    PersonRow,
    RecoveryCodeRow,
)
from qa.store.tables.programs import ApiTokenRow, CsvLayoutRow
from qa.store.tables.proving import ChallengeRow, TryRow
from qa.store.tables.specifications import (
    SpecificationChangeRow,
    SpecificationDraftRow,
    SpecificationRow,
    SpecificationTrialRow,
    TriedJobRow,
)
from qa.store.tables.summaries import (
    JobFactsRow,
    JobWordRow,
    LotLaidRow,
    LotUsedRow,
    OpenFindingRow,
    ReleaseWaitingRow,
)
from qa.store.tables.waiting import WaitingPhotoRow
from qa.store.tables.webhooks import DeliveryRow, WebhookRow
from qa.store.tables.work import OutboxRow, PackRow, UploadRow

__all__ = [
    "ApiTokenRow",
    "ChallengeRow",
    "CsvLayoutRow",
    "DeliveryRow",
    "DisclosureRow",
    "EntryRow",
    "FirmRow",
    "InvitationRow",
    "JobFactsRow",
    "JobRow",
    "JobWordRow",
    "LinkRow",
    "LotLaidRow",
    "LotUsedRow",
    "MessageRow",
    "OpenFindingRow",
    "OriginalRow",
    "OutboxRow",
    "PackRow",
    "PasskeyRow",
    "PersonRow",
    "PhotoRow",
    "RecoveryCodeRow",
    "ReleaseWaitingRow",
    "SpecificationChangeRow",
    "SpecificationDraftRow",
    "SpecificationRow",
    "SpecificationTrialRow",
    "TriedJobRow",
    "TryRow",
    "UploadRow",
    "WaitingPhotoRow",
    "WebhookRow",
]
