"""Shop mode's way in: encrypted, by every name that this machine has on the shop's network, and a plain door for the certificate alone."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path

from blockwright.bench.secure.certificate import CertificateFiles, authority_in, certificate_for, own_certificate
from blockwright.bench.secure.names import machine_names, names_of
from blockwright.bench.secure.plain_door import PlainDoor
from blockwright.bench.server import Listening, check_port
from blockwright.ledger.place import data_folder
from blockwright.problems import BlockwrightError, Place, Problem

EVERYWHERE = "0.0.0.0"
HOSTS, PLAIN_PORT = "BLOCKWRIGHT_HOSTS", "BLOCKWRIGHT_PLAIN_PORT"
LAST_PORT = 65535


@dataclass(frozen=True)
class Own:
    """What a shop brings itself: names by which it is reached, and a certificate with its key."""

    names: tuple[str, ...] = ()
    certificate: Path | None = None
    key: Path | None = None


def say_names(own: Own) -> tuple[str, ...]:
    """The names of this bench, told to the settings before Django starts. Raises BlockwrightError for one that is none."""
    names = tuple(dict.fromkeys((*names_of(own.names).texts, *machine_names())))
    os.environ[HOSTS] = ",".join(names)
    return names


def shop_listening(at: Listening, names: tuple[str, ...], own: Own) -> Listening:
    """Where the bench listens for the shop, with its certificate made or renewed as need be."""
    files = _certificate(names, own)
    return replace(at, host=EVERYWHERE, certificate=files.certificate, key=files.key, named=names[0])


def _certificate(names: tuple[str, ...], own: Own) -> CertificateFiles:
    if own.certificate is None and own.key is None:
        return certificate_for(data_folder(), names)
    if own.certificate is None or own.key is None:
        raise BlockwrightError(
            Problem(
                "certificate-half",
                "a certificate and its key belong together.",
                "Give both, or neither.",
                Place(field="certificate"),
            )
        )
    return own_certificate(own.certificate, own.key)


def open_plain_door(at: Listening) -> None:
    """In the worker: hand out the authority's certificate without encryption while the owner pairs a tablet; nothing where there is no authority."""
    authority = authority_in(data_folder())
    port = os.environ.get(PLAIN_PORT, "")
    if authority is not None and port:
        PlainDoor(at.host, int(port), authority, _pairing).start()


def say_plain_port(at: Listening) -> None:
    """Tell the pages where the plain door will be: the next port. Raises BlockwrightError where that is taken."""
    if at.port < LAST_PORT:
        check_port(replace(at, port=at.port + 1, certificate=None))
        os.environ[PLAIN_PORT] = str(at.port + 1)


def join_address(at: Listening) -> str:
    """Where the first owner sets his password, good for an hour; blank where there is an owner."""
    from blockwright.bench.people.hands import first_owner_code

    code = first_owner_code()
    return f"{at.address}join/#{code}" if code else ""


def _pairing() -> bool:
    """Whether a tablet is being paired; asked in a thread of its own, which gives its connection back."""
    from django.db import connection

    from blockwright.bench.people.codes import PAIR, any_open

    try:
        return any_open(PAIR)
    finally:
        connection.close()
