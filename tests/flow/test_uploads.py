"""The routes of the resumable upload, as the open protocol tus 1.0.0 has them."""

from __future__ import annotations

import base64
import hashlib

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from qa.services.access import Role
from qa.services.originals import PHOTO_LIMIT_BYTES
from tests.flow.browser import ACTING_AS, ServedSite
from tests.house import jpeg

PHOTO = jpeg(3)
SHA256 = hashlib.sha256(PHOTO).hexdigest()
TUS = {"Tus-Resumable": "1.0.0", "Accept": "application/json"}


@pytest.fixture
def client(site: ServedSite) -> FlaskClient:
    """Somebody who is signed in as the installer."""
    site.app.config["WTF_CSRF_ENABLED"] = False
    client = site.app.test_client()
    client.set_cookie(ACTING_AS, site.marks[Role.INSTALLER], domain="localhost")
    return client


def _metadata(**pairs: str) -> str:
    return ",".join(
        f"{key} {base64.b64encode(value.encode()).decode()}" for key, value in pairs.items()
    )


def _create(client: FlaskClient, length: object = len(PHOTO), sha256: str = SHA256) -> TestResponse:
    headers = TUS | {
        "Upload-Length": str(length),
        "Upload-Metadata": _metadata(sha256=sha256, filename="deck.jpg"),
    }
    return client.post("/uploads", headers=headers)


def _patch(client: FlaskClient, where: str, offset: object, piece: bytes) -> TestResponse:
    headers = TUS | {"Upload-Offset": str(offset)}
    return client.patch(
        where, headers=headers, data=piece, content_type="application/offset+octet-stream"
    )


def test_a_photo_arrives_by_the_protocol(client: FlaskClient, site: ServedSite) -> None:
    created = _create(client)
    assert created.status_code == 201
    where = created.headers["Location"]
    first = _patch(client, where, 0, PHOTO[:100])
    assert (first.status_code, first.headers["Upload-Offset"]) == (200, "100")
    asked = client.head(where, headers=TUS)
    assert (asked.status_code, asked.headers["Upload-Offset"]) == (200, "100")
    assert asked.headers["Upload-Length"] == str(len(PHOTO))
    assert asked.headers["Cache-Control"] == "no-store"
    last = _patch(client, where, 100, PHOTO[100:])
    assert last.get_json()["finished"] is True
    assert site.installation.originals.path(SHA256).read_bytes() == PHOTO
    assert {each.headers["Tus-Resumable"] for each in (created, first, asked, last)} == {"1.0.0"}


def test_a_client_that_knows_only_the_protocol_gets_no_body(client: FlaskClient) -> None:
    where = _create(client).headers["Location"]
    headers = {"Tus-Resumable": "1.0.0", "Upload-Offset": "0"}
    answer = client.patch(
        where, headers=headers, data=PHOTO, content_type="application/offset+octet-stream"
    )
    assert (answer.status_code, answer.data) == (204, b"")
    assert answer.headers["Upload-Offset"] == str(len(PHOTO))


def test_the_site_tells_what_it_speaks(client: FlaskClient) -> None:
    answer = client.options("/uploads", headers=TUS)
    assert answer.headers["Tus-Version"] == "1.0.0"
    assert answer.headers["Tus-Extension"] == "creation"
    assert answer.headers["Tus-Max-Size"] == str(PHOTO_LIMIT_BYTES)


def test_a_wrong_offset_is_a_conflict(client: FlaskClient) -> None:
    where = _create(client).headers["Location"]
    answer = _patch(client, where, 5, b"x")
    assert answer.status_code == 409
    assert "0 bytes" in answer.get_json()["error"]["sentence"]


def test_a_film_of_200_mb_is_refused_before_it_is_sent(client: FlaskClient) -> None:
    answer = _create(client, 200 * 1024 * 1024)
    assert answer.status_code == 413
    assert "64 MB" in answer.get_json()["error"]["sentence"]


@pytest.mark.parametrize("length", ["", "-1", "1.5", "many", "1" * 40, "٣"])
def test_a_length_that_is_none_is_refused(client: FlaskClient, length: str) -> None:
    headers = {**TUS, "Upload-Metadata": _metadata(sha256=SHA256)}
    if length.isascii():
        headers["Upload-Length"] = length
    assert client.post("/uploads", headers=headers).status_code == 400


def test_metadata_that_is_no_base64_is_refused(client: FlaskClient) -> None:
    headers = {**TUS, "Upload-Length": "10", "Upload-Metadata": "sha256 ***"}
    assert client.post("/uploads", headers=headers).status_code == 400


def test_another_version_of_the_protocol_is_refused(client: FlaskClient) -> None:
    answer = client.post("/uploads", headers={**TUS, "Tus-Resumable": "0.2.2"})
    assert (answer.status_code, answer.headers["Tus-Version"]) == (412, "1.0.0")


def test_a_piece_of_another_type_is_refused(client: FlaskClient) -> None:
    where = _create(client).headers["Location"]
    answer = client.patch(where, headers={**TUS, "Upload-Offset": "0"}, data=b"x")
    assert answer.status_code == 415


def test_an_upload_that_nobody_began_is_not_there(client: FlaskClient) -> None:
    for where in ("/uploads/nothing", "/uploads/0196b1c2-0000-7000-8000-000000000001"):
        assert client.get(where, headers=TUS).status_code == 404
        assert _patch(client, where, 0, b"x").status_code == 404


def test_what_is_no_photo_is_refused_in_words(client: FlaskClient, site: ServedSite) -> None:
    content = b"<script>alert(1)</script>"
    where = _create(client, len(content), hashlib.sha256(content).hexdigest()).headers["Location"]
    answer = _patch(client, where, 0, content)
    assert answer.status_code == 400
    assert answer.get_json()["error"]["sentence"].startswith("deck.jpg: ")
    assert list(site.installation.originals.digests()) == []


def test_office_and_strangers_send_nothing(client: FlaskClient, site: ServedSite) -> None:
    client.set_cookie(ACTING_AS, site.marks[Role.OFFICE], domain="localhost")
    assert _create(client).status_code == 403
    client.delete_cookie(ACTING_AS, domain="localhost")
    assert _create(client).status_code == 401


def test_without_the_sessions_token_nothing_is_begun(client: FlaskClient, site: ServedSite) -> None:
    site.app.config["WTF_CSRF_ENABLED"] = True
    assert _create(client).status_code == 400
