"""How a firm is called and reached: changed by its front, printed on jobs that start afterwards."""

from __future__ import annotations

import pytest

from qa.errors import AccountError, NotAllowedError
from qa.services.access import Actor, Role
from qa.services.firm_details import FirmDetails, change_firm, firm_details
from qa.services.installation import Installation
from qa.services.proposing import propose_job
from tests.accounts import NOON, add_account, add_firm

NEW = FirmDetails(
    name="Invented Roofs and Sons",
    address="Unit 0\n Nowhere Yard \n\nExampleton",
    phone="01632 960101",
    email="office@roofs.example",
)


@pytest.fixture
def firm(installation: Installation) -> str:
    return add_firm(installation, "Invented Roofs")


@pytest.fixture
def owner(installation: Installation, firm: str) -> Actor:
    return add_account(installation, firm, "ives", Role.OWNER)


def test_new_jobs_say_what_was_kept(installation: Installation, owner: Actor) -> None:
    change_firm(installation, owner, NEW)
    told = propose_job(installation, owner, now=NOON).firm
    assert (told.name, told.phone, told.email) == (NEW.name, NEW.phone, NEW.email)
    assert told.address == "Unit 0, Nowhere Yard, Exampleton"


def test_line_that_is_emptied_is_gone(installation: Installation, owner: Actor) -> None:
    change_firm(installation, owner, NEW)
    change_firm(installation, owner, FirmDetails(name=NEW.name))
    assert firm_details(installation, owner) == FirmDetails(name=NEW.name)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (FirmDetails(name="  "), "account.name"),
        (FirmDetails(name="A", phone="call us"), "account.phone"),
        (FirmDetails(name="A", email="office"), "account.email"),
        (FirmDetails(name="A", address="long " * 100), "account.address"),
        (FirmDetails(name="A\u202eB"), "account.name"),
    ],
)
def test_fault_is_said_at_its_field_and_nothing_changes(
    installation: Installation, owner: Actor, typed: FirmDetails, field: str
) -> None:
    with pytest.raises(AccountError) as told:
        change_firm(installation, owner, typed)
    assert [problem.field for problem in told.value.problems] == [field]
    assert firm_details(installation, owner).name == "Invented Roofs"


def test_other_firms_keep_their_own(installation: Installation, owner: Actor) -> None:
    other = add_firm(installation, "Another Firm")
    change_firm(installation, owner, NEW)
    theirs = add_account(installation, other, "ona", Role.OFFICE)
    assert firm_details(installation, theirs) == FirmDetails(name="Another Firm")


def test_installer_changes_nothing(installation: Installation, firm: str) -> None:
    tam = add_account(installation, firm, "tam", Role.INSTALLER)
    with pytest.raises(NotAllowedError):
        change_firm(installation, tam, NEW)
