"""The address that raises a nonconformity about a finding, with all that the finding names."""

from __future__ import annotations

from flask import url_for

from qa.assess.finding import Finding

NAMED = ("stage", "check", "area", "bay", "subject")
"""What a nonconformity may name, by which it is tied to findings."""


def raise_address(job: str, found: Finding) -> str:
    """Where a nonconformity about a finding is raised."""
    named = {name: getattr(found, name) for name in NAMED}
    return url_for("roof.raise_nonconformity", job=job, **named)
