"""The shop's own certificate authority, and the certificate of its server.

Browsers keep pages for use without a network only where the connection is encrypted, and no public authority
certifies a machine in a shop. So the shop makes an authority of its own (ECDSA P-256, ten years). It is bound by name
constraints (RFC 5280, 4.2.1.10) to names under `.local`, to private addresses and to the names that the machine had
when it was made, and by its extended key usage to servers: a tablet that trusts it trusts it for no site on the
internet. The server's certificate lasts 396 days, with a day's allowance for a tablet whose clock is slow, and is
made anew by itself when its end comes near or when the machine's names change.

All keys lie in the data folder, readable by its owner alone. Whoever can read them can pose as this shop's server.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import os
import secrets
import ssl
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from blockwright.bench.secure.names import Names, names_of
from blockwright.problems import BlockwrightError, Place, Problem

FOLDER = "certificate"
DAY = dt.timedelta(days=1)
AUTHORITY_LIFE = dt.timedelta(days=3652)
SERVER_LIFE = dt.timedelta(days=396)
RENEW_BEFORE = dt.timedelta(days=120)
OWN_HOSTS = ("local", "localhost", "home.arpa")
OWN_NETWORKS = tuple(
    ipaddress.ip_network(each)
    for each in (
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "100.64.0.0/10",
        "fc00::/7", "fe80::/10", "::1/128",
    )
)  # fmt: skip
"""Networks that the internet does not reach (RFC 1918, 3927, 6598, 4193, 4291)."""

Network = ipaddress.IPv4Network | ipaddress.IPv6Network
NETWORKS = (ipaddress.IPv4Network, ipaddress.IPv6Network)


@dataclass(frozen=True)
class CertificateFiles:
    """Where the server's certificate and key lie, when it ends, and the authority's certificate (None: not one of ours)."""

    certificate: Path
    key: Path
    ends: dt.datetime
    authority: Path | None = None


@dataclass(frozen=True)
class _Pair:
    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def certificate_for(data: Path, names: Iterable[str], at: dt.datetime | None = None) -> CertificateFiles:
    """The server's certificate for these names and addresses, made, renewed or taken as it lies.

    `at` is now unless a test says otherwise. Raises BlockwrightError where a name lies outside what the authority may certify, or the
    files cannot be read or written.
    """
    now, wanted, folder = at or dt.datetime.now(dt.UTC), names_of(names), data / FOLDER
    authority = _authority(folder, wanted, now)
    _check_inside(authority.certificate, wanted)
    held = _read(folder, "server")
    if held is None or not _serves(held.certificate, authority.certificate, wanted, now):
        held = _server(authority, wanted, now)
        _write(folder, "server", held)
    return CertificateFiles(
        folder / "server.crt", folder / "server.key", held.certificate.not_valid_after_utc, folder / "authority.crt"
    )


def own_certificate(certificate: Path, key: Path, at: dt.datetime | None = None) -> CertificateFiles:
    """A certificate and key that the shop brings itself, checked. Raises BlockwrightError where they do not fit or are out of time."""
    now = at or dt.datetime.now(dt.UTC)
    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(certificate, key, password="")
        first = x509.load_pem_x509_certificates(certificate.read_bytes())[0]
    except (OSError, ValueError) as fault:
        what = f"{certificate} and {key} cannot be used together ({type(fault).__name__})."
        mend = "Both must be PEM files, the key without a password, and the key must be that of the first certificate."
        raise BlockwrightError(Problem("certificate-own", what, mend, Place(field="certificate"))) from None
    if not first.not_valid_before_utc <= now <= first.not_valid_after_utc:
        what = f"{certificate} is valid from {first.not_valid_before_utc:%Y-%m-%d} to {first.not_valid_after_utc:%Y-%m-%d} only."
        raise BlockwrightError(
            Problem("certificate-time", what, "Renew it, or set this machine's clock.", Place(field="certificate"))
        )
    return CertificateFiles(certificate, key, first.not_valid_after_utc)


def authority_in(data: Path) -> bytes | None:
    """The authority's certificate as a tablet takes it (DER); None where none was made."""
    with suppress(OSError, ValueError):
        found = x509.load_pem_x509_certificate((data / FOLDER / "authority.crt").read_bytes())
        return found.public_bytes(serialization.Encoding.DER)
    return None


def fingerprint(der: bytes) -> tuple[str, ...]:
    """The SHA-256 fingerprint as people compare it: 32 pairs, eight to a line."""
    digest = hashes.Hash(hashes.SHA256())
    digest.update(der)
    pairs = [f"{byte:02X}" for byte in digest.finalize()]
    return tuple(" ".join(pairs[start : start + 8]) for start in range(0, 32, 8))


def _authority(folder: Path, wanted: Names, now: dt.datetime) -> _Pair:
    held = _read(folder, "authority")
    if held is None or held.certificate.not_valid_after_utc < now + SERVER_LIFE:
        held = _new_authority(wanted, now)
        _write(folder, "authority", held)
    return held


def _new_authority(wanted: Names, now: dt.datetime) -> _Pair:
    key = ec.generate_private_key(ec.SECP256R1())
    name = _named(f"Blockwright shop authority {secrets.token_hex(3)}")
    begun = _begun(name, name, key.public_key(), now, AUTHORITY_LIFE)
    usage = _usage(authority=True)
    built = (
        begun.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(_permitted(wanted), None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )
    return _Pair(built.sign(key, hashes.SHA256()), key)


def _server(authority: _Pair, wanted: Names, now: dt.datetime) -> _Pair:
    key = ec.generate_private_key(ec.SECP256R1())
    begun = _begun(_named("Blockwright bench"), authority.certificate.subject, key.public_key(), now, SERVER_LIFE)
    built = (
        begun.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(authority=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(_general(wanted)), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()), critical=False)
    )
    return _Pair(built.sign(authority.key, hashes.SHA256()), key)


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: dt.datetime, life: dt.timedelta
) -> x509.CertificateBuilder:
    numbered = x509.CertificateBuilder().serial_number(x509.random_serial_number()).public_key(key)
    return (
        numbered.subject_name(subject).issuer_name(issuer).not_valid_before(now - DAY).not_valid_after(now - DAY + life)
    )


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _usage(*, authority: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not authority,
        key_cert_sign=authority,
        crl_sign=authority,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _general(wanted: Names) -> list[x509.GeneralName]:
    return [*(x509.DNSName(each) for each in wanted.hosts), *(x509.IPAddress(each) for each in wanted.addresses)]


def _permitted(wanted: Names) -> list[x509.GeneralName]:
    """What the authority may certify: what is private by its nature, and what the machine is called today."""
    hosts = dict.fromkeys((*OWN_HOSTS, *(each for each in wanted.hosts if not _within(each, OWN_HOSTS))))
    outside = [each for each in wanted.addresses if not any(each in network for network in OWN_NETWORKS)]
    networks: tuple[Network, ...] = (*OWN_NETWORKS, *(ipaddress.ip_network(each) for each in outside))
    return [*(x509.DNSName(each) for each in hosts), *(x509.IPAddress(each) for each in networks)]


def _within(host: str, ends: Iterable[str]) -> bool:
    return any(host == end or host.endswith(f".{end}") for end in ends)


def _check_inside(authority: x509.Certificate, wanted: Names) -> None:
    permitted = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    ends = [each.value for each in permitted if isinstance(each, x509.DNSName)]
    networks = [each.value for each in permitted if isinstance(each.value, NETWORKS)]
    strange = [each for each in wanted.hosts if not _within(each, ends)]
    strange += [str(each) for each in wanted.addresses if not any(each in network for network in networks)]
    if strange:
        what = f"the shop's authority may not certify {', '.join(strange)}: it was made without that name."
        mend = (
            f"Leave the name out, bring a certificate of your own with --certificate and --key, or move the folder “{FOLDER}” out of the "
            "data folder: a new authority is then made, and every tablet must be told to trust it."
        )
        raise BlockwrightError(Problem("certificate-name", what, mend, Place(field="address")))


def _serves(server: x509.Certificate, authority: x509.Certificate, wanted: Names, now: dt.datetime) -> bool:
    """Whether a certificate lying there is of this authority, for exactly these names, and lasts a while yet."""
    try:
        server.verify_directly_issued_by(authority)
        held = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, TypeError, InvalidSignature, x509.ExtensionNotFound):
        return False
    return (
        set(held) == set(_general(wanted))
        and server.not_valid_before_utc <= now < server.not_valid_after_utc - RENEW_BEFORE
    )


def _read(folder: Path, name: str) -> _Pair | None:
    """A certificate with its key; None where there is none, or the two do not belong together. Raises BlockwrightError where unreadable."""
    try:
        certificate = x509.load_pem_x509_certificate((folder / f"{name}.crt").read_bytes())
        key = serialization.load_pem_private_key((folder / f"{name}.key").read_bytes(), None)
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError) as fault:
        what = f"the {name}'s certificate in {folder} cannot be read ({type(fault).__name__})."
        mend = "Put the folder back from a backup, or move it away: a new one is made, and every tablet must trust it anew."
        raise BlockwrightError(Problem("certificate-file", what, mend)) from None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or certificate.public_key() != key.public_key():
        return None
    return _Pair(certificate, key)


def _write(folder: Path, name: str, pair: _Pair) -> None:
    """Key first: a certificate never lies there without its key."""
    plain = serialization.NoEncryption()
    key = pair.key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_private(folder / f"{name}.key", key)
        write_private(folder / f"{name}.crt", pair.certificate.public_bytes(serialization.Encoding.PEM))
    except OSError as fault:
        what = f"{folder} cannot be written: {fault.strerror or 'the disk does not say why'}."
        raise BlockwrightError(
            Problem("certificate-file", what, "Make room, or give yourself the right to write there.")
        ) from None


def write_private(to: Path, content: bytes) -> None:
    """Write a file for its owner's eyes alone; complete or not there at all."""
    part = to.with_name(f".{to.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as opened:
            opened.write(content)
            opened.flush()
            os.fsync(opened.fileno())
        part.replace(to)
    finally:
        part.unlink(missing_ok=True)
