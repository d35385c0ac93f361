"""The names and addresses by which this machine is reached on the shop's own network."""

from __future__ import annotations

import contextlib
import ipaddress
import re
import socket
from collections.abc import Iterable
from dataclasses import dataclass

from blockwright.problems import BlockwrightError, Place, Problem, excerpt

NAME = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)*")
LONGEST = 253
AT_HOME = ("localhost", "127.0.0.1", "::1")
NOWHERE = ("192.0.2.1", "2001:db8::1")
"""Addresses set aside for documents: nothing is sent to them, but the machine says from which of its own it would."""

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


@dataclass(frozen=True)
class Names:
    """Host names and addresses, each once, in the order in which a tablet should try them."""

    hosts: tuple[str, ...]
    addresses: tuple[Address, ...]

    @property
    def texts(self) -> tuple[str, ...]:
        """All as text, without brackets."""
        return (*self.hosts, *(str(each) for each in self.addresses))


def names_of(texts: Iterable[str]) -> Names:
    """Names and addresses told apart. Raises BlockwrightError for one that is neither."""
    hosts: list[str] = []
    addresses: list[Address] = []
    for text in texts:
        plain = text.strip().strip("[]").rstrip(".").lower()
        try:
            addresses.append(ipaddress.ip_address(plain.partition("%")[0]))
        except ValueError:
            hosts.append(_checked(plain, text))
    return Names(tuple(dict.fromkeys(hosts)), tuple(dict.fromkeys(addresses)))


def allowed_hosts(texts: str) -> list[str]:
    """Django's setting ALLOWED_HOSTS: this machine's names for itself, and those given, apart by commas."""
    given = names_of(each for each in texts.split(",") if each.strip())
    return list(dict.fromkeys([*(_bracketed(each) for each in AT_HOME), *(_bracketed(each) for each in given.texts)]))


def machine_names() -> tuple[str, ...]:
    """By what this machine is reached, the surest first: its addresses on the network, its name under `.local`, its bare name, itself at home."""
    host = socket.gethostname().rstrip(".").lower()
    hosts = [f"{host.partition('.')[0]}.local", host] if NAME.fullmatch(host) else []
    addresses = network_addresses()
    older = [each for each in addresses if ":" not in each]
    return tuple(dict.fromkeys((*older, *hosts, *addresses, *AT_HOME)))


def network_addresses() -> tuple[str, ...]:
    """The addresses at which others on the network reach this machine; empty where there is no network."""
    found = [*_sending_addresses(), *_listed_addresses()]
    useful = (each for each in found if not ipaddress.ip_address(each).is_loopback)
    return tuple(dict.fromkeys(each for each in useful if not ipaddress.ip_address(each).is_link_local))


def _sending_addresses() -> list[str]:
    found: list[str] = []
    for family, nowhere in zip((socket.AF_INET, socket.AF_INET6), NOWHERE, strict=True):
        with contextlib.suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((nowhere, 9))
            found.append(str(probe.getsockname()[0]))
    return found


def _listed_addresses() -> list[str]:
    with contextlib.suppress(OSError):
        return [str(each[4][0]).partition("%")[0] for each in socket.getaddrinfo(socket.gethostname(), None)]
    return []


def _bracketed(text: str) -> str:
    return f"[{text}]" if ":" in text else text


def _checked(plain: str, text: str) -> str:
    if len(plain) > LONGEST or not NAME.fullmatch(plain):
        what = f"“{excerpt(text)}” is neither a name of a machine nor an address."
        raise BlockwrightError(
            Problem("machine-name", what, "Write it as bench.local or 192.168.1.20.", Place(field="address"))
        )
    return plain
