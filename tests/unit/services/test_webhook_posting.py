"""One event on its way: TLS compared with the name, and an end to every kind of waiting."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from qa.services.webhook_addresses import HookAddress
from qa.services.webhook_posting import Post, ReceiverError, send_post
from qa.web import clock
from tests.receiver import receiving

LOOPBACK = ip_network("127.0.0.0/8")
NOW = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
POST = Post(
    id="0196", number=7, event="trial", body=b'{"kind":"trial"}', sent_at=NOW, secrets=("one",)
)


def to(port: int, *, is_https: bool = False) -> HookAddress:
    return HookAddress(is_https=is_https, host="127.0.0.1", port=port, target="/events")


def post(port: int, patience_s: float = 5.0, trust: ssl.SSLContext | None = None) -> int:
    address = to(port, is_https=trust is not None)
    return send_post(address, POST, allowed=(LOOPBACK,), patience_s=patience_s, trust=trust)


Answer = Callable[[socket.socket], None]


@contextmanager
def answering(answer: Answer, context: ssl.SSLContext | None = None) -> Iterator[int]:
    """A listener that answers one connection in its own way; answers its port."""

    def serve() -> None:
        connection, _ = listener.accept()
        with connection:
            try:
                if context is not None:
                    connection = context.wrap_socket(connection, server_side=True)
                connection.recv(65536)
                answer(connection)
                connection.close()
            except OSError:
                return

    with socket.create_server(("127.0.0.1", 0)) as listener:
        thread = threading.Thread(target=serve)
        thread.start()
        try:
            yield listener.getsockname()[1]
        finally:
            thread.join()


def says(content: bytes) -> Answer:
    return lambda connection: connection.sendall(content)


def test_receiver_that_is_slow_is_waited_for_no_longer_than_said() -> None:
    with receiving() as receiver:
        receiver.holds.clear()
        with pytest.raises(ReceiverError, match=r"within 0\.3 seconds"):
            post(receiver.port, patience_s=0.3)
        assert len(receiver.arrived) == 1


def test_receiver_that_drips_is_waited_for_no_longer_than_said() -> None:
    done = threading.Event()

    def drip(connection: socket.socket) -> None:
        while not done.wait(0.05):
            connection.sendall(b"H")

    with answering(drip) as port:
        with pytest.raises(ReceiverError, match=r"within 0\.4 seconds"):
            post(port, patience_s=0.4)
        done.set()


@pytest.mark.parametrize(
    "content", [b"", b"SSH-2.0-x\r\n\r\n", b"HTTP/1.1 abc\r\n\r\n", b"HTTP/1.1 200 OK\r\n"]
)
def test_answer_that_is_not_http_is_said_to_be_none(content: bytes) -> None:
    with answering(says(content)) as port, pytest.raises(ReceiverError, match="not HTTP"):
        post(port)


def test_endless_head_is_read_to_a_bound() -> None:
    with (
        answering(says(b"HTTP/1.1 200 OK\r\n" + b"x: y\r\n" * 40_000)) as port,
        pytest.raises(ReceiverError, match="not HTTP"),
    ):
        post(port)


def test_answer_before_the_answer_is_passed_over() -> None:
    """RFC 9110 15.2: answers of 1xx come before the final one."""
    content = b"HTTP/1.1 103 Early Hints\r\nLink: </x>\r\n\r\nHTTP/1.1 204 No Content\r\n\r\n"
    with answering(says(content)) as port:
        assert post(port) == 204


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A certificate of its own for 127.0.0.1, with its key."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "receiver")])
    now = clock.now()
    made = (
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ip_address("127.0.0.1"))]), critical=False
        )
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .sign(key, hashes.SHA256())
    )
    path = tmp_path_factory.mktemp("certificate") / "both.pem"
    path.write_bytes(
        made.public_bytes(serialization.Encoding.PEM)
        + key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    return path


def test_certificate_must_be_trusted(certificate: Path) -> None:
    own = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    own.load_cert_chain(certificate)
    ok = says(b"HTTP/1.1 200 OK\r\nContent-Length: 0\r\n\r\n")
    with answering(ok, own) as port:
        assert post(port, trust=ssl.create_default_context(cafile=str(certificate))) == 200
    with answering(ok, own) as port, pytest.raises(ReceiverError, match="certificate is not good"):
        post(port, trust=ssl.create_default_context())
    with answering(ok) as port, pytest.raises(ReceiverError, match="TLS"):
        post(port, trust=ssl.create_default_context())
