"""A shop for the tests: its settings, its people, and browsers in their hands."""

from collections.abc import Iterable

from django.test import Client
from django.urls import clear_url_caches

from blockwright.acts.roles import Role
from blockwright.bench.addresses import Address, paths
from blockwright.bench.people import hands, pin
from blockwright.bench.people.views import EVERY
from blockwright.bench.urls import every_address
from blockwright.ledger.models import Book, Hand

HOST = "bench.local"
PASSWORD, PIN = "turn it twice by hand", "4086"
PERSON, PLACE = "Ada Invented", "192.168.7.9"
QUICK = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def all_addresses() -> tuple[Address, ...]:
    """Those of local mode and of shop mode, each once."""
    return tuple({each.name: each for each in (*every_address(), *EVERY)}.values())


class Urls:
    """A table of addresses as Django takes it."""

    handler403 = "blockwright.bench.views.errors.forbidden"
    handler404 = "blockwright.bench.views.errors.missing"
    handler500 = "blockwright.bench.views.errors.faulty"

    def __init__(self, addresses: Iterable[Address]) -> None:
        self.urlpatterns = paths(addresses)


def open_shop(settings, addresses=None, *, hashers=QUICK) -> None:
    """Shop mode, as the server's environment makes it."""
    settings.SHOP = True
    settings.BENCH_ACTOR = "blockwright.bench.people.acting.actor_of"
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", HOST, "192.168.7.2"]
    settings.SESSION_COOKIE_SECURE = settings.CSRF_COOKIE_SECURE = True
    settings.PASSWORD_HASHERS = hashers
    settings.ROOT_URLCONF = Urls(all_addresses() if addresses is None else addresses)
    clear_url_caches()


class Browser(Client):
    """A browser that speaks HTTPS."""

    def generic(self, *words, **named):
        return super().generic(*words, **named | {"secure": True})


def browser(**words) -> Browser:
    """A browser at the shop, in a place on its network."""
    return Browser(**{"HTTP_HOST": HOST, "REMOTE_ADDR": PLACE} | words)


def hire(name: str = PERSON, *, owner: bool = False, book: Book | None = None, role: Role | None = None) -> Hand:
    """Somebody who has joined, with a password and a PIN."""
    hand = hands.take_on(name, owner=owner)
    hand.user.set_password(PASSWORD)
    hand.user.save()
    pin.set_pin(hand, PIN)
    if book is not None and role is not None:
        hands.give_seat(hand, book, role)
    return hand


def sign_in(client: Client, name: str = PERSON, password: str = PASSWORD):
    return client.post("/in/", {"name": name, "password": password})


def signed_in(hand: Hand, **words) -> Client:
    """A browser in which this hand is signed in by password."""
    client = browser(**words)
    answer = sign_in(client, hand.name)
    assert answer.status_code == 302, answer.content
    return client
