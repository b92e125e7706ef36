"""Other programs: what they read and send by their token, and what is answered when it is wrong."""

from __future__ import annotations

import base64
import gc
import json
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from werkzeug.test import TestResponse

from qa.services.access import Role
from qa.services.identity import new_id
from tests.examples import minimal
from tests.flow.fuzzing import Fuzzer
from tests.flow.two_firms import SECRET, TwoFirms, make_two_firms
from tests.house import jpeg

AT = "2026-05-12T08:40:00+01:00"


@pytest.fixture(scope="module")
def firms(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[TwoFirms]:
    firms = make_two_firms(tmp_path_factory.mktemp("programs"), migrated_file)
    yield firms
    firms.close()


def ask(
    firms: TwoFirms, path: str, method: str = "GET", role: Role = Role.INSTALLER, **sent: Any
) -> TestResponse:
    headers = {"Authorization": f"Bearer {firms.bearer(role)}", **sent.pop("headers", {})}
    job = firms.ours.values["job"]
    client = firms.app.test_client()
    return client.open(f"/api/v1{path.replace('JOB', job)}", method=method, headers=headers, **sent)


def entry(kind: str = "conditions", **change: Any) -> dict[str, Any]:
    body = {"stage": "laminate", "air_c": 14.5, "humidity_pct": 62, "deck_c": 13}
    written = {"id": new_id(), "kind": kind, "at": AT, "by": "installer-ours", "body": body}
    return written | change


def send(firms: TwoFirms, *entries: Any, role: Role = Role.INSTALLER) -> TestResponse:
    sent = entries[0] if len(entries) == 1 else list(entries)
    return ask(firms, "/jobs/JOB/entries", "POST", role, json=sent)


def fields(answer: TestResponse) -> dict[str, str]:
    assert answer.status_code == 400, answer.text
    return {one["field"]: one["sentence"] for one in answer.json["error"]["problems"]}


def test_jobs_lead_to_everything_of_a_job(firms: TwoFirms) -> None:
    (listed,) = ask(firms, "/jobs").json["jobs"]
    assert listed["reference"] == "J-ours"
    job = ask(firms, listed["self"].removeprefix("/api/v1")).json
    for name in ("entries", "assessment", "packs"):
        assert ask(firms, job[name].removeprefix("/api/v1")).status_code == 200


def test_record_is_read_from_a_line_on(firms: TwoFirms) -> None:
    whole = ask(firms, "/jobs/JOB/entries").text.splitlines()
    rest = ask(firms, "/jobs/JOB/entries?from=2").text.splitlines()
    assert whole[2:] == rest
    assert json.loads(rest[0])["seq"] == 2
    assert fields(ask(firms, "/jobs/JOB/entries?from=-1")).keys() == {"from"}


def test_entry_is_taken_once(firms: TwoFirms) -> None:
    one = entry()
    first, again = send(firms, one), send(firms, one)
    assert (first.status_code, again.status_code) == (201, 200)
    receipt, repeated = first.json["receipts"][0], again.json["receipts"][0]
    assert (receipt["repeated"], repeated["repeated"]) == (False, True)
    assert (receipt["seq"], receipt["hash"]) == (repeated["seq"], repeated["hash"])
    assert {found["check"] for found in receipt["findings"]}


def test_same_id_with_other_content_tells_both_digests(firms: TwoFirms) -> None:
    one = entry()
    send(firms, one)
    answer = send(firms, one | {"at": "2026-05-12T08:41:00+01:00"})
    assert answer.status_code == 409
    error = answer.json["error"]
    assert len(error["held"]) == len(error["sent"]) == 64
    assert error["held"] != error["sent"]


def test_many_are_taken_all_or_none(firms: TwoFirms) -> None:
    before = len(ask(firms, "/jobs/JOB/entries").text.splitlines())
    good, bad = entry(), entry(body={"stage": "laminate", "humidity_pct": 300})
    answer = send(firms, good, bad)
    assert fields(answer).keys() == {"conditions.humidity_pct"}
    assert answer.json["error"]["problems"][0]["entry"] == 2
    assert len(ask(firms, "/jobs/JOB/entries").text.splitlines()) == before
    assert send(firms, good, entry()).status_code == 201


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"id": "1"}, "id"),
        ({"kind": "paint"}, "kind"),
        ({"kind": "erasure"}, "kind"),
        ({"at": "2026-05-12T08:40:00"}, "at"),
        ({"by": "supervisor-ours"}, "by"),
        ({"body": []}, "body"),
        ({"seq": 3}, "seq"),
        ({"hash": "0" * 64}, "hash"),
        ({"signature": {}}, "signature"),
    ],
)
def test_fault_of_an_entry_names_its_field(firms: TwoFirms, change: Any, field: str) -> None:
    assert field in fields(send(firms, entry(**change)))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"\xff",
        b"[]",
        b"null",
        b"NaN",
        b'{"id": 1, "id": 2}',
        b"[" * 100_000,
        b"9" * 9999,
    ],
)
def test_what_is_no_entry_is_refused_in_words(firms: TwoFirms, content: bytes) -> None:
    answer = ask(firms, "/jobs/JOB/entries", "POST", data=content, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json["error"]["problems"]


def test_roles_hold_for_each_kind_of_entry(firms: TwoFirms) -> None:
    release = {"stage": "deck", "decision": "released", "statement": "Seen."}
    assert send(firms, entry("sign_off", body=release)).status_code == 403
    by_office = entry(by="office-ours")
    assert send(firms, by_office, role=Role.OFFICE).status_code == 403


def test_photo_is_handed_in_and_named_by_an_entry(firms: TwoFirms) -> None:
    content = jpeg(91)
    digest = sha256(content).hexdigest()
    held = ask(firms, f"/photos/{digest}", "PUT", data=content)
    assert held.status_code == 201, held.text
    body = {"file": held.json["file"], "sha256": digest, "stage": "deck"}
    assert send(firms, entry("photo", body=body)).status_code == 201
    missing = body | {"sha256": "1" * 64}
    assert send(firms, entry("photo", body=missing)).status_code == 404
    del missing["sha256"]
    assert "photo.sha256" in fields(send(firms, entry("photo", body=missing)))


def test_photo_comes_in_pieces_by_token(firms: TwoFirms) -> None:
    content = jpeg(92)
    metadata = f"sha256 {base64.b64encode(sha256(content).hexdigest().encode()).decode()}"
    tus = {"Tus-Resumable": "1.0.0"}
    begun = ask(
        firms, "/uploads", "POST",
        headers=tus | {"Upload-Length": str(len(content)), "Upload-Metadata": metadata},
    )  # fmt: skip
    place = begun.headers["Location"].removeprefix("/api/v1")
    assert begun.status_code == 201
    for start in range(0, len(content), 400):
        sent = ask(
            firms, place, "PATCH", data=content[start : start + 400],
            headers=tus | {"Upload-Offset": str(start)},
            content_type="application/offset+octet-stream",
        )  # fmt: skip
        assert sent.status_code == 204, sent.text
    assert ask(firms, place).json["finished"] is True


def test_photo_under_another_digest_is_refused(firms: TwoFirms) -> None:
    assert fields(ask(firms, f"/photos/{'2' * 64}", "PUT", data=jpeg(93))).keys() == {"digest"}


def test_correction_cannot_show_another_file(firms: TwoFirms) -> None:
    content = jpeg(94)
    digest = sha256(content).hexdigest()
    held = ask(firms, f"/photos/{digest}", "PUT", data=content).json
    photo = entry("photo", body={"file": held["file"], "sha256": digest, "stage": "deck"})
    send(firms, photo)
    other = {"file": "photos/other.jpg", "stage": "deck"}
    correction = {"corrects": photo["id"], "reason": "Another.", "body": other}
    assert send(firms, entry("correction", body=correction)).status_code == 400


def test_pack_is_asked_for_and_watched(firms: TwoFirms) -> None:
    asked = ask(firms, "/jobs/JOB/packs", "POST", Role.OFFICE, json={"kind": "warranty"})
    assert asked.status_code == 202
    state = ask(firms, asked.headers["Location"].removeprefix("/api/v1")).json
    assert (state["kind"], state["waiting"], state["file"]) == ("warranty", True, None)
    assert fields(ask(firms, "/jobs/JOB/packs", "POST", Role.OFFICE, json={"kind": "x"}))


def test_made_pack_and_folder_are_taken_away(firms: TwoFirms) -> None:
    made = next(one for one in ask(firms, "/jobs/JOB/packs").json["packs"] if one["made"])
    with ask(firms, made["file"].removeprefix("/api/v1")) as pack:
        assert pack.data.startswith(b"%PDF")
    with ask(firms, "/jobs/JOB/folder", role=Role.OFFICE) as folder:
        assert folder.data.startswith(b"PK")
    assert ask(firms, "/jobs/JOB/folder").status_code == 403


@pytest.mark.parametrize("token", ["", "guess", "Bearer", "\u00e9"])
def test_without_a_token_that_works_nothing_opens(firms: TwoFirms, token: str) -> None:
    answer = firms.app.test_client().get(
        "/api/v1/jobs", headers={"Authorization": f"Bearer {token}"}
    )
    assert (answer.status_code, answer.is_json) == (401, True)
    assert answer.headers["WWW-Authenticate"].startswith("Bearer")


def test_token_of_another_firm_sees_its_own_only(firms: TwoFirms) -> None:
    theirs = firms.theirs.values["job"]
    answer = ask(firms, f"/jobs/{theirs}")
    assert (answer.status_code, SECRET in answer.text) == (404, False)


@pytest.mark.parametrize("path", ["/nowhere", "/jobs/nowhere", "/jobs/JOB/nowhere"])
def test_what_is_not_there_is_answered_in_json(firms: TwoFirms, path: str) -> None:
    answer = ask(firms, path, headers={"Accept": "text/html"})
    assert (answer.status_code, answer.json["error"]["status"]) == (404, 404)


def test_wrong_method_is_answered_in_json(firms: TwoFirms) -> None:
    answer = ask(firms, "/jobs", "DELETE")
    assert (answer.status_code, answer.is_json) == (405, True)


@pytest.mark.filterwarnings("ignore::ResourceWarning")
def test_random_requests_find_no_failure(firms: TwoFirms) -> None:
    fuzzer = Fuzzer(firms)
    fuzzer.run(200)
    gc.collect()  # the files that its transport leaves open
    assert fuzzer.answers.total() > 150
    assert max(fuzzer.answers) < 500


def test_markup_in_an_entry_comes_back_as_it_was(firms: TwoFirms) -> None:
    text = "<script>alert(1)</script> {{ 7*7 }}"
    note = minimal("note") | {"text": text}
    assert send(firms, entry("note", body=note)).status_code == 201
    assert text in ask(firms, "/jobs/JOB/entries").text
