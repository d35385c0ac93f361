"""The shop's authority and its server's certificate, judged by OpenSSL and not by the library that made them."""

import datetime as dt
import http.client
import ipaddress
import socket
import ssl
import stat
import subprocess
from threading import Thread

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from blockwright.bench.secure.certificate import (
    RENEW_BEFORE,
    authority_in,
    certificate_for,
    fingerprint,
    own_certificate,
)
from blockwright.bench.secure.names import machine_names, names_of
from blockwright.bench.secure.plain_door import FILE, PlainDoor
from blockwright.problems import BlockwrightError

NAMES = ("bench", "bench.local", "192.168.7.2", "fd00::7", "localhost", "127.0.0.1", "::1")
NOW = dt.datetime.now(dt.UTC)
DAY = dt.timedelta(days=1)


def loaded(path):
    return x509.load_pem_x509_certificate(path.read_bytes())


def openssl(*words, stdin=None):
    return subprocess.run(["openssl", *map(str, words)], capture_output=True, text=True, input=stdin, check=False)


def talk(files, authority, name):
    """Speak TLS with a server that has these files, trusting this authority, under this name."""
    server = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    server.load_cert_chain(files.certificate, files.key)
    client = ssl.create_default_context(cafile=authority)
    client.verify_flags |= ssl.VERIFY_X509_STRICT
    ours, theirs = socket.socketpair()

    def serve():
        try:
            with server.wrap_socket(theirs, server_side=True) as end:
                end.recv(1)
        except (ssl.SSLError, OSError):
            pass

    thread = Thread(target=serve)
    thread.start()
    try:
        with client.wrap_socket(ours, server_hostname=name) as end:
            end.send(b"x")
            return end.version()
    finally:
        ours.close()
        thread.join(5)


@pytest.mark.parametrize("name", NAMES)
def test_a_tablet_that_trusts_the_authority_reaches_the_bench_by_every_name(tmp_path, name):
    files = certificate_for(tmp_path, NAMES)
    assert talk(files, files.authority, name) in {"TLSv1.2", "TLSv1.3"}


@pytest.mark.parametrize("name", ["other.local", "192.168.7.3", "elsewhere.example"])
def test_and_by_no_other(tmp_path, name):
    files = certificate_for(tmp_path, NAMES)
    with pytest.raises(ssl.SSLCertVerificationError):
        talk(files, files.authority, name)


def test_a_tablet_that_trusts_another_shop_does_not(tmp_path):
    files, other = certificate_for(tmp_path / "a", NAMES), certificate_for(tmp_path / "b", NAMES)
    with pytest.raises(ssl.SSLCertVerificationError):
        talk(files, other.authority, "bench.local")


def forged(folder, names):
    """A certificate for names outside, made with the authority's own key, as a thief would."""
    authority = loaded(folder / "authority.crt")
    signer = serialization.load_pem_private_key((folder / "authority.key").read_bytes(), None)
    key = ec.generate_private_key(ec.SECP256R1())
    made = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "thief")]))
        .issuer_name(authority.subject)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(NOW - DAY)
        .not_valid_after(NOW + DAY)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .sign(signer, hashes.SHA256())
    )
    (folder / "thief.crt").write_bytes(made.public_bytes(serialization.Encoding.PEM))
    return openssl("verify", "-CAfile", folder / "authority.crt", folder / "thief.crt")


@pytest.mark.parametrize(
    ("names", "good"),
    [
        ([x509.DNSName("shelf.local")], True),  # shows that a thief's certificate fails for its name and nothing else
        ([x509.DNSName("bank.example")], False),
        ([x509.DNSName("bench.example")], False),
        ([x509.DNSName("notlocal")], False),
        ([x509.IPAddress(ipaddress.ip_address("203.0.113.5"))], False),
        ([x509.IPAddress(ipaddress.ip_address("2001:db8::5"))], False),
    ],
)
def test_a_stolen_authority_certifies_nothing_on_the_internet(tmp_path, names, good):
    certificate_for(tmp_path, NAMES)
    verified = forged(tmp_path / "certificate", names)
    assert (verified.returncode == 0) == good
    assert good or "permitted subtree violation" in verified.stderr + verified.stdout


def test_server_certificate_is_what_tablets_ask_for(tmp_path):
    """At most 397 days; for a server; on the curve P-256; its names where browsers look for them."""
    files = certificate_for(tmp_path, NAMES)
    server = loaded(files.certificate)
    assert server.not_valid_after_utc - server.not_valid_before_utc <= 397 * DAY
    assert server.not_valid_before_utc <= NOW
    text = openssl("x509", "-in", files.certificate, "-noout", "-text").stdout
    for words in (
        "prime256v1",
        "TLS Web Server Authentication",
        "CA:FALSE",
        "DNS:bench.local",
        "IP Address:192.168.7.2",
        "Digital Signature",
    ):
        assert words in text, words


def test_authority_lasts_ten_years_and_has_no_authority_under_it(tmp_path):
    authority = loaded(certificate_for(tmp_path, NAMES).authority)
    assert 3650 * DAY <= authority.not_valid_after_utc - authority.not_valid_before_utc <= 3653 * DAY
    text = openssl("x509", "-inform", "DER", "-noout", "-text", "-in", tmp_path / "certificate/authority.crt").stdout
    text = text or openssl("x509", "-noout", "-text", "-in", tmp_path / "certificate/authority.crt").stdout
    assert "CA:TRUE, pathlen:0" in text


def test_keys_are_for_their_owners_eyes_alone(tmp_path):
    certificate_for(tmp_path, NAMES)
    folder = tmp_path / "certificate"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert sorted(each.name for each in folder.iterdir()) == [
        "authority.crt",
        "authority.key",
        "server.crt",
        "server.key",
    ]
    assert {stat.S_IMODE(each.stat().st_mode) for each in folder.iterdir()} == {0o600}


def test_asked_again_it_is_the_same(tmp_path):
    first = certificate_for(tmp_path, NAMES).certificate.read_bytes()
    assert certificate_for(tmp_path, NAMES).certificate.read_bytes() == first
    assert certificate_for(tmp_path, reversed(NAMES)).certificate.read_bytes() == first


def test_near_its_end_it_is_made_anew_by_the_same_authority(tmp_path):
    files = certificate_for(tmp_path, NAMES)
    authority, first = files.authority.read_bytes(), loaded(files.certificate)
    before = first.not_valid_after_utc - RENEW_BEFORE
    certificate_for(tmp_path, NAMES, at=before - DAY)
    assert loaded(files.certificate) == first
    again = certificate_for(tmp_path, NAMES, at=before + DAY)
    second = loaded(again.certificate)
    assert second != first
    assert again.ends == second.not_valid_after_utc > first.not_valid_after_utc
    assert files.authority.read_bytes() == authority


def test_under_new_names_it_is_made_anew_by_the_same_authority(tmp_path):
    files = certificate_for(tmp_path, NAMES)
    authority, first = files.authority.read_bytes(), loaded(files.certificate)
    again = certificate_for(tmp_path, (*NAMES, "192.168.7.44"))
    assert loaded(files.certificate) != first
    assert talk(again, again.authority, "192.168.7.44")
    assert files.authority.read_bytes() == authority
    assert openssl("verify", "-CAfile", files.authority, files.certificate).returncode == 0


def test_a_name_the_authority_was_not_made_for_is_refused_with_words(tmp_path):
    certificate_for(tmp_path, NAMES)
    with pytest.raises(BlockwrightError, match=r"may not certify shop\.example, 203\.0\.113\.9"):
        certificate_for(tmp_path, (*NAMES, "shop.example", "203.0.113.9"))


def test_a_public_name_it_was_made_for_is_certified(tmp_path):
    files = certificate_for(tmp_path, (*NAMES, "bench.shop.example"))
    assert talk(files, files.authority, "bench.shop.example")


def test_a_certificate_that_lost_its_key_is_made_anew_and_a_broken_one_is_told(tmp_path):
    files = certificate_for(tmp_path, NAMES)
    first = files.certificate.read_bytes()
    files.key.unlink()
    assert certificate_for(tmp_path, NAMES).certificate.read_bytes() != first
    files.authority.write_text("rubbish")
    with pytest.raises(BlockwrightError, match="cannot be read"):
        certificate_for(tmp_path, NAMES)


def test_fingerprint_is_that_which_others_show(tmp_path):
    files = certificate_for(tmp_path, NAMES)
    told = openssl("x509", "-in", files.authority, "-noout", "-fingerprint", "-sha256").stdout.strip().partition("=")[2]
    assert " ".join(fingerprint(authority_in(tmp_path))) == told.replace(":", " ")
    assert authority_in(tmp_path / "nowhere") is None


def test_a_shops_own_certificate_is_checked(tmp_path):
    files, other = certificate_for(tmp_path / "a", NAMES), certificate_for(tmp_path / "b", NAMES)
    assert own_certificate(files.certificate, files.key).ends == files.ends
    assert own_certificate(files.certificate, files.key).authority is None
    for key in (other.key, tmp_path / "missing"):
        with pytest.raises(BlockwrightError, match="cannot be used together"):
            own_certificate(files.certificate, key)
    with pytest.raises(BlockwrightError, match="is valid from"):
        own_certificate(files.certificate, files.key, at=files.ends + DAY)


def test_this_machines_names_are_certified(tmp_path):
    names = machine_names()
    assert "localhost" in names
    files = certificate_for(tmp_path, names)
    assert talk(files, files.authority, "localhost")


@pytest.mark.parametrize(
    "text", ["", "a b", "-x", "bench..local", "x" * 64, "http://bench", "bench/", "*.local", "ben_ch"]
)
def test_what_is_no_name_is_refused(text):
    with pytest.raises(BlockwrightError, match="neither a name"):
        names_of([text])


# The plain door


@pytest.fixture
def door():
    """The door, and the switch that opens it."""
    state = {"open": True}
    door = PlainDoor("127.0.0.1", 0, b"certificate", lambda: state["open"])
    door.start()
    yield door, state
    door.stop()


def asked(door, path="/", method="GET", body=None):
    line = http.client.HTTPConnection("127.0.0.1", door.port, timeout=5)
    line.request(method, path, body=body)
    answer = line.getresponse()
    return answer, answer.read()


def test_the_plain_door_hands_out_the_certificate_and_a_page_alone(door):
    door, _state = door
    answer, content = asked(door, FILE)
    assert (answer.status, content, answer.headers["Content-Type"]) == (
        200,
        b"certificate",
        "application/x-x509-ca-cert",
    )
    page, content = asked(door)
    assert page.status == 200
    assert b"<form" not in content
    assert b"<script" not in content
    assert b"fingerprint" in content
    for path in (
        "/in/",
        "/certificate/authority.key",
        "/../authority.key",
        "/e/",
        f"{FILE}?x",
        "/static/bench/bench.css",
    ):
        assert asked(door, path)[0].status == 404
    for each in (answer, page):
        assert not each.headers["Set-Cookie"]
        assert not each.headers["Location"]
        assert each.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT"])
def test_the_plain_door_takes_nothing(door, method):
    assert asked(door[0], "/", method, body=b"x=1" if method == "POST" else None)[0].status == 501


def test_the_plain_door_is_shut_while_nobody_pairs(door):
    door, state = door
    state["open"] = False
    for path in ("/", FILE, "/nowhere"):
        answer, content = asked(door, path)
        assert answer.status == 403
        assert b"certificate" not in content or path == "/"
    state["open"] = True
    assert asked(door, FILE)[0].status == 200
