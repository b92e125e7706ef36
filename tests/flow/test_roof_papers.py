"""Packs and folders of a job, without script."""

from __future__ import annotations

import html
import io
import re
import zipfile
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from qa.services.access import Role
from qa.services.delivery import work_once
from qa.services.listing import jobs
from qa.web import clock
from tests.flow.job_folder import small_job, write_job
from tests.flow.roof_visitor import RoofSite
from tests.specifications import firm_file


def packs(roof: RoofSite, role: Role = Role.SUPERVISOR) -> str:
    return roof.as_(role).open(f"{roof.job}/packs").text


def ask(roof: RoofSite, kind: str = "handover") -> None:
    answer = roof.as_(Role.SUPERVISOR).open(f"{roof.job}/packs").send(kind=kind)
    assert answer.status_code == 303


def test_pack_is_asked_for_and_waits_its_turn(roof: RoofSite) -> None:
    assert "No pack has been made of this job yet" in packs(roof)
    ask(roof)
    page = packs(roof)
    assert "Handover pack, no. 1" in page
    assert "Waits its turn" in page
    assert '<meta http-equiv="refresh"' in page
    state = roof.as_(Role.INSTALLER).client.get(f"{roof.job}/packs/1/state")
    assert state.json == {"made": False, "waiting": True, "told": "Waits its turn", "fault": ""}
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/packs/1").status == 404


def test_same_pack_asked_for_twice_is_made_once(roof: RoofSite) -> None:
    ask(roof)
    ask(roof)
    assert "no. 2" not in packs(roof)


def test_made_pack_is_kept_with_digest_and_head(roof: RoofSite) -> None:
    ask(roof)
    while work_once(roof.site.installation, now=clock.now()):
        pass
    page = packs(roof, Role.INSTALLER)
    assert "Save the PDF" in page
    assert roof.read().job.head in page
    assert "The record has grown since" not in page
    client = roof.as_(Role.INSTALLER).client
    with client.get(f"{roof.job}/packs/1") as pdf:
        assert pdf.data.startswith(b"%PDF-")
        assert pdf.mimetype == "application/pdf"
        assert "attachment" in pdf.headers["Content-Disposition"]
    roof.add("note", text="One more.")
    assert "The record has grown since" in packs(roof)


@pytest.mark.parametrize("kind", ["", "evidence", "<script>"])
def test_pack_of_no_kind_is_refused(roof: RoofSite, kind: str) -> None:
    answer = roof.as_(Role.SUPERVISOR).open(f"{roof.job}/packs").send(kind=kind)
    assert answer.status_code == 400
    assert "No pack has been made" in packs(roof)


def test_installer_sees_packs_and_asks_for_none(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/packs")
    assert "Have it made" not in page.text
    token = roof.as_(Role.INSTALLER).open(f"{roof.job}/crew").fields["csrf_token"][0]
    sent = page.client.post(page.path, data={"kind": "handover", "csrf_token": token})
    assert sent.status_code == 403


def test_handover_itself_asks_for_no_other_pack(roof: RoofSite) -> None:
    ask(roof)
    while work_once(roof.site.installation, now=clock.now()):
        pass
    orla = roof.as_(Role.SUPERVISOR)
    page = orla.open(f"{roof.job}/handover")
    digest = page.text.split('name="documents" value="')[1].split('"')[0]
    told = orla.follow(page.send(to="A. Client", documents=[digest])).text
    assert "more in the record than in the newest pack" not in told


def test_value_that_two_entries_hold_is_erased_by_one_tick(roof: RoofSite) -> None:
    opening = roof.read().job.opening.id
    form = roof.as_(Role.INSTALLER).open(f"{roof.job}/record/{opening}/correct")
    form.send(reason="She moved.", body_site_address="2 Invented Lane")
    ona = roof.as_(Role.OFFICE)
    page = ona.open(f"{roof.job}/erasures/new")
    assert "in 2 entries" in page.text
    before, _, _ = page.text.partition("The client’s name: ")
    value = html.unescape(before.rpartition('name="values" value="')[2].split('"')[0])
    assert page.send(values=[value], reason="She asked.", sure="yes").status_code == 303
    left = [one.field for one in roof.read().record.disclosures]
    assert not any(field.endswith("/client/name") for field in left)
    assert any(field.endswith("/site/address") for field in left)


@pytest.mark.parametrize("number", ["0", "7", "99999999999999999999", "x", "-1"])
def test_pack_that_is_none_answers_404(roof: RoofSite, number: str) -> None:
    for path in ("", "/state"):
        page = roof.as_(Role.SUPERVISOR).open(f"{roof.job}/packs/{number}{path}")
        assert page.status == 404


def taken_out(roof: RoofSite) -> io.BytesIO:
    with roof.as_(Role.OFFICE).client.get(f"{roof.job}/folder.zip") as answer:
        assert answer.mimetype == "application/zip"
        return io.BytesIO(answer.data)


def send_folder(client: FlaskClient, content: io.BytesIO) -> tuple[int, str, str]:
    page = client.get("/jobs/take-in").text
    token = re.search(r'name="csrf_token" value="([^"]+)"', page)
    assert token
    answer = client.post(
        "/jobs/take-in", data={"csrf_token": token[1], "folder": (content, "folder.zip")}
    )
    return answer.status_code, answer.location or "", answer.text


def test_page_says_that_personal_values_go_with_the_folder(roof: RoofSite) -> None:
    page = roof.as_(Role.OFFICE).open(f"{roof.job}/folder")
    assert "Personal values go with it" in page.text
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/folder").status == 403
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/folder.zip").status == 403


def test_folder_that_brings_limits_along_says_so(roof: RoofSite, tmp_path: Path) -> None:
    builder = small_job()
    builder.entries[0]["body"] |= {"specification": "their-limits/2", "job": "J-their-1"}
    job = write_job(tmp_path / "job", builder)
    office = roof.as_(Role.OFFICE)
    status, _, text = send_folder(office.client, zipped_folder(job))
    assert (status, "neither built in nor one of the firm’s" in text) == (400, True)
    (job / "specification.toml").write_bytes(firm_file("their-limits/2"))
    status, where, text = send_folder(office.client, zipped_folder(job))
    assert status == 303, text
    assert "their-limits/2, which came with its folder" in office.open(where).text
    assert "their-limits/2, by which it is judged" in office.open(f"{where}/folder").text
    assert "Came with the folder of job J-their-1" in office.open("/desk/specifications").text
    assert 'value="their-limits/2"' not in office.open("/jobs/new").text


def zipped_folder(folder: Path) -> io.BytesIO:
    """A folder as somebody packs it."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for path in folder.rglob("*"):
            archive.write(path, path.relative_to(folder))
    packed.seek(0)
    return packed


def test_folder_taken_out_comes_in_as_the_same_job(roof: RoofSite) -> None:
    zipped = taken_out(roof)
    with zipfile.ZipFile(zipped) as archive:
        assert archive.namelist() == ["J-2026-014/record.jsonl", "J-2026-014/personal.jsonl"]
    zipped.seek(0)
    status, where, _ = send_folder(roof.as_(Role.OFFICE).client, zipped)
    assert (status, where) == (303, roof.job)
    assert len(jobs(roof.site.installation, roof.site.actor(Role.OFFICE))) == 1


def test_faulty_record_is_refused_with_every_line(roof: RoofSite) -> None:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("a-job/record.jsonl", '{"id": 1}\n{"kind": "mixx"}\nnot json\n')
    file.seek(0)
    status, _, text = send_folder(roof.as_(Role.OFFICE).client, file)
    assert status == 400
    for line in (1, 2, 3):
        assert f"record.jsonl, line {line}" in text
    assert "Nothing has been taken in" in text
    assert str(roof.site.installation.settings.instance) not in text
    leftovers = roof.site.installation.settings.instance.glob("taking-in-*")
    assert not list(leftovers)


@pytest.mark.parametrize("content", [b"", b"%PDF", b"PK\x05\x06" + b"\0" * 18])
def test_what_is_no_folder_is_refused(roof: RoofSite, content: bytes) -> None:
    status, _, text = send_folder(roof.as_(Role.OFFICE).client, io.BytesIO(content))
    assert status == 400
    assert "Not saved yet" in text


def test_no_file_at_all_is_asked_for(roof: RoofSite) -> None:
    answer = roof.as_(Role.OFFICE).open("/jobs/take-in").send()
    assert answer.status_code == 400
    assert "Choose the zip file of a job folder" in answer.text
