"""Who said that a stage was done, and who let the work go on."""

from __future__ import annotations

from collections.abc import Iterator

from qa.assess.frame import when
from qa.assess.stages import supervisor_decisions
from qa.packs.handover import plain_words as plain
from qa.packs.source import PackSource
from qa.record.kinds.decisions import SignOffDecision
from qa.trade.vocabulary import Stage

_VERBS = {
    SignOffDecision.COMPLETE: "signed the stage off",
    SignOffDecision.RELEASED: "checked the stage and let the work go on",
    SignOffDecision.REFUSED: "refused to let the work go on",
}


def sign_offs_of(source: PackSource, stage: Stage) -> Iterator[str]:
    """Each sign-off, release and refusal of a stage, and what of them is missing."""
    of_stage = [s for s in sorted(source.job.sign_offs, key=when) if s.body.stage is stage]
    counting = supervisor_decisions(source.job, of_stage)
    for signed in of_stage:
        decision = signed.body.decision
        said = (
            f"{source.person(signed.by)} {_VERBS[decision]} on {source.time_text(signed.at)}: "
            f"“{plain.stopped(signed.body.statement)}”"
        )
        if decision is not SignOffDecision.COMPLETE and signed not in counting:
            said += " This does not count: only a supervisor may decide it."
        yield said
    if not any(signed.body.decision is SignOffDecision.COMPLETE for signed in of_stage):
        yield "No sign-off by an installer is recorded."
    if source.specification.stage_rule(stage).hold_point and not counting:
        yield "No release by a supervisor is recorded."
