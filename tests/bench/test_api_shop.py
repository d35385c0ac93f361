"""The API in a shop: every endpoint for everybody, tokens that hold and that do not, engines that are guessed, cookies that count for nothing."""

import json
import secrets
from collections.abc import Callable
from hashlib import sha256
from typing import Any

import pytest
from django.test import Client
from django.urls import clear_url_caches

from blockwright.acts.roles import Role
from blockwright.bench import state
from blockwright.bench.addresses import paths
from blockwright.bench.api.urls import api, urlpatterns
from blockwright.bench.people import tokens, tries
from blockwright.bench.photos import keep_photo
from blockwright.demos import demo_texts
from blockwright.ledger.books import export_texts, open_book
from blockwright.ledger.models import Book, Hand, Seat, Try
from blockwright.ledger.store import LedgerStore

from ..report.work_sample import sample_work
from .shop_hands import all_addresses, browser, hire, open_shop, signed_in
from .test_api import PROBLEM, ROOT, refused, zipped
from .test_photos import PNG

GUESSED = "guessedguess"
WHO = ("anonymous", "stranger", "looker", "viewer", "measurer", "builder", "owner")
RANK = {"viewer": 1, "looker": 1, "measurer": 2, "builder": 3, "owner": 4}
"""A looker is a builder's token that may only look; a stranger builds at another engine."""

PLACES = {
    "/engines/{engine}/fits/{fit}/{position}": {"fit": "wall clearance", "position": "cylinder 3"},
    "/engines/{engine}/papers/{key}": {"key": "json"},
    "/engines/{engine}/photos/{name}": {"name": f"{sha256(PNG).hexdigest()[:16]}.png"},
    "/problems/{name}": {"name": "refused"},
}
ACTS: dict[Role, Callable[[str], tuple[str, dict[str, Any]]]] = {
    Role.MEASURER: lambda mark: ("wheel put on", {"wheel": mark}),
    Role.BUILDER: lambda mark: ("sheet changed", {"table": "job", "values": {"customer": mark}}),
}
"""By the least role that may: an act that changes something each time."""


class Urls:
    """The shop's addresses, and the API's."""

    handler403 = "blockwright.bench.views.errors.forbidden"
    handler404 = "blockwright.bench.views.errors.missing"
    handler500 = "blockwright.bench.views.errors.faulty"
    urlpatterns = (*paths(all_addresses()), *urlpatterns)


def open_api(settings: Any) -> None:
    open_shop(settings)
    settings.ROOT_URLCONF = Urls
    clear_url_caches()


def bearer(hand: Hand, *, may_write: bool = True) -> str:
    return tokens.new_token(hand, "a program", may_write=may_write)[1]


class Shop:
    """A shop with one engine, everybody's tokens, and another engine that the stranger builds at."""

    def __init__(self) -> None:
        state.forget()
        self.book = open_book(demo_texts("harbour"), "A. Hand", name="harbour")
        self.other = open_book(demo_texts("hillclimb"), "A. Hand", name="hillclimb")
        keep_photo(self.book, PNG)
        seats = {"viewer": Role.VIEWER, "measurer": Role.MEASURER, "builder": Role.BUILDER}
        self.hands = {who: hire(f"The {who}", book=self.book, role=role) for who, role in seats.items()}
        self.hands["stranger"] = hire("The stranger", book=self.other, role=Role.BUILDER)
        self.hands["owner"] = hire("The owner", owner=True)
        self.token = {who: bearer(hand) for who, hand in self.hands.items()}
        self.token["looker"] = bearer(self.hands["builder"], may_write=False)

    def ask(
        self, who: str, method: str, at: str, body: bytes = b"", content: str = "application/json", **headers: str
    ) -> Any:
        if who in self.token:
            headers["Authorization"] = f"Bearer {self.token[who]}"
        return browser().generic(method, f"{ROOT}{at}", body, content_type=content, headers=headers)

    def act(self, who: str, role: Role, slug: str) -> Any:
        kind, words = ACTS[role](mark := secrets.token_hex(8))
        said = {"kind": kind, "words": words, "key": mark}
        return self.ask(who, "POST", f"/engines/{slug}/acts", json.dumps(said).encode())


@pytest.fixture
def shop(settings: Any, transactional_db: None, monkeypatch: pytest.MonkeyPatch) -> Shop:
    monkeypatch.setattr("blockwright.bench.work.held.kept", lambda job: sample_work())
    open_api(settings)
    return Shop()


def looks() -> list[str]:
    """Every address that is looked at, as the API's own document lists them."""
    listed = api.get_openapi_schema(path_prefix="")["paths"]
    return ["/" + at.lstrip("/") for at, methods in listed.items() if "get" in methods]


def filled(at: str, slug: str) -> str:
    return at.format(engine=slug, **PLACES.get(at, {}))


def test_the_list_of_addresses_is_the_whole_one() -> None:
    assert len(looks()) == 18
    assert {at for at in looks() if at.count("{") > 1} | {"/problems/{name}"} == set(PLACES)


@pytest.mark.parametrize("at", looks())
def test_every_look_for_everybody(shop: Shop, at: str) -> None:
    of_engine, open_to_all = "{engine}" in at, at.startswith("/problems")
    for who in WHO:
        answer = shop.ask(who, "GET", filled(at, shop.book.slug))
        if open_to_all:
            assert answer.status_code == 200
        elif who == "anonymous":
            assert refused(answer, 401)["type"].endswith("/who")
            assert answer["WWW-Authenticate"] == "Bearer"
        elif who == "stranger" and of_engine:
            refused(answer, 404)
        else:
            assert answer.status_code in (200, 202), (who, answer.content)
        head = shop.ask(who, "HEAD", filled(at, shop.book.slug))
        assert (head.status_code in (200, 202), head["Content-Type"]) == (
            answer.status_code in (200, 202),
            answer["Content-Type"],
        )


@pytest.mark.parametrize("at", [each for each in looks() if "{engine}" in each])
def test_an_engine_that_is_guessed_is_answered_as_somebody_elses(shop: Shop, at: str) -> None:
    answers = [
        shop.ask("stranger", "GET", filled(at, slug)) for slug in (shop.book.slug, GUESSED, "%00", "a'b", "x" * 300)
    ]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    assert len({tuple(sorted(answer.headers.items())) for answer in answers}) == 1


@pytest.mark.parametrize("role", ACTS)
def test_acts_for_everybody(shop: Shop, role: Role) -> None:
    for who in WHO:
        answer = shop.act(who, role, shop.book.slug)
        if who == "anonymous":
            refused(answer, 401)
        elif who == "stranger":
            assert refused(answer, 404) == refused(shop.act(who, role, GUESSED), 404)
        elif RANK[who] >= role:
            assert answer.status_code == 201, (who, answer.content)
        else:
            refused(answer, 403)


def test_who_may_send_a_photo_in(shop: Shop) -> None:
    at = f"/engines/{shop.book.slug}/photos"
    expected = {"anonymous": 401, "stranger": 404, "viewer": 403, "looker": 403, "measurer": 201, "builder": 201, "owner": 201}  # fmt: skip
    for who, status in expected.items():
        answer = shop.ask(who, "POST", at, PNG, "image/png")
        if status != 201:
            refused(answer, status)
            continue
        assert answer.status_code == 201, answer.content
        assert shop.ask(who, "GET", answer["Location"].removeprefix(ROOT)).content == PNG
    name = answer.json()["photo"]
    refused(shop.ask("stranger", "GET", f"/engines/{shop.other.slug}/photos/{name}"), 404)


def test_an_act_is_by_the_hand_of_the_token(shop: Shop) -> None:
    assert shop.act("measurer", Role.MEASURER, shop.book.slug).status_code == 201
    assert LedgerStore(shop.book).events()[-1].by == "The measurer"


def test_who_may_bring_in_an_engine_and_sits_at_it_then(shop: Shop) -> None:
    content = zipped({name: text.encode() for name, text in demo_texts("harbour").items()})
    expected = {
        "anonymous": 401,
        "viewer": 403,
        "looker": 403,
        "measurer": 403,
        "builder": 201,
        "stranger": 201,
        "owner": 201,
    }
    for who, status in expected.items():
        answer = shop.ask(who, "POST", "/engines?key=folder:0001", content, "application/zip")
        if status != 201:
            refused(answer, status)
            continue
        assert answer.status_code == 201, answer.content
        assert answer.json()["role"] == "owner"
        assert shop.ask(who, "GET", answer["Location"].removeprefix(ROOT)).json() == answer.json()
        again = shop.ask(who, "POST", "/engines?key=folder:0001", content, "application/zip")
        assert (again.status_code, again.json(), again["Location"]) == (201, answer.json(), answer["Location"])
    assert Book.objects.count() == 2 + 3  # the same key of three hands


def test_a_key_does_not_bring_back_an_engine_at_which_the_seat_is_gone(shop: Shop) -> None:
    content = zipped({name: text.encode() for name, text in demo_texts("harbour").items()})
    opened = shop.ask("builder", "POST", "/engines?key=folder:0001", content, "application/zip")
    assert opened.status_code == 201
    Seat.objects.filter(book__slug=opened.json()["id"]).delete()
    refused(shop.ask("builder", "POST", "/engines?key=folder:0001", content, "application/zip"), 404)
    assert Book.objects.count() == 3


def test_engines_of_others_are_not_listed(shop: Shop) -> None:
    def listed(who: str) -> set[str]:
        return {each["id"] for each in shop.ask(who, "GET", "/engines").json()["items"]}

    assert listed("viewer") == {shop.book.slug}
    assert listed("stranger") == {shop.other.slug}
    assert listed("owner") == {shop.book.slug, shop.other.slug}


def test_the_role_told_is_that_of_the_token(shop: Shop) -> None:
    at = f"/engines/{shop.book.slug}"
    told = {who: shop.ask(who, "GET", at).json()["role"] for who in WHO if who not in ("anonymous", "stranger")}
    assert told == {
        "looker": "viewer",
        "viewer": "viewer",
        "measurer": "measurer",
        "builder": "builder",
        "owner": "owner",
    }


def test_a_mark_of_one_role_is_not_that_of_another(shop: Shop) -> None:
    at = f"/engines/{shop.book.slug}"
    mark = shop.ask("viewer", "GET", at)["ETag"]
    assert shop.ask("viewer", "GET", at, **{"If-None-Match": mark}).status_code == 304
    assert shop.ask("builder", "GET", at, **{"If-None-Match": mark}).status_code == 200
    refused(shop.ask("stranger", "GET", at, **{"If-None-Match": mark}), 404)
    refused(shop.ask("anonymous", "GET", at, **{"If-None-Match": "*"}), 401)


def test_a_token_that_was_revoked_or_whose_hand_left_or_was_never_made_opens_nothing(shop: Shop) -> None:
    held, text = tokens.new_token(shop.hands["builder"], "another", may_write=True)
    shop.token["another"] = text
    assert shop.ask("another", "GET", "/engines").status_code == 200
    tokens.revoke(held)
    refused(shop.ask("another", "GET", "/engines"), 401)
    user = shop.hands["measurer"].user
    user.is_active = False
    user.save()
    refused(shop.ask("measurer", "GET", "/engines"), 401)
    for sent in (
        "Bearer bw_" + "x" * 43,
        "Bearer",
        "",
        "Basic YTpi",
        f"Token {shop.token['owner']}",
        shop.token["owner"],
    ):
        answer = browser().get(f"{ROOT}/engines", headers={"Authorization": sent})
        refused(answer, 401)


def test_tokens_that_fail_are_counted_and_one_that_holds_does_not_wait(shop: Shop) -> None:
    wrong = {"Authorization": "Bearer bw_wrong"}
    for _ in range(tries.PER_PLACE):
        refused(browser().get(f"{ROOT}/engines", headers=wrong), 401)
    answer = browser().get(f"{ROOT}/engines", headers=wrong)
    assert refused(answer, 429)["problems"][0]["code"] == "tries"
    assert int(answer["Retry-After"]) > 0
    assert shop.ask("viewer", "GET", "/engines").status_code == 200
    refused(browser(REMOTE_ADDR="192.168.7.10").get(f"{ROOT}/engines", headers=wrong), 401)
    assert Try.objects.filter(door="api", worked=True).count() == 0


def test_a_cookie_counts_for_nothing(shop: Shop) -> None:
    client: Client = signed_in(shop.hands["owner"])
    assert client.get("/").status_code == 200
    refused(client.get(f"{ROOT}/engines"), 401)
    kind, words = ACTS[Role.MEASURER]("W7")
    said = json.dumps({"kind": kind, "words": words, "key": "reader-1:0001"})
    refused(client.post(f"{ROOT}/engines/{shop.book.slug}/acts", said, content_type="application/json"), 401)
    assert len(LedgerStore(shop.book).events()) == 1


def test_a_token_in_the_address_counts_for_nothing(shop: Shop) -> None:
    refused(browser().get(f"{ROOT}/engines", {"token": shop.token["owner"], "access_token": shop.token["owner"]}), 401)


def test_a_token_does_not_look_after_people_nor_open_pages(shop: Shop) -> None:
    headers = {"Authorization": f"Bearer {shop.token['owner']}"}
    assert browser().get("/people/", headers=headers).status_code == 302
    assert not any("people" in at or "token" in at for at in looks())


def test_the_folder_of_an_engine_is_for_those_who_sit_at_it(shop: Shop) -> None:
    answer = shop.ask("viewer", "GET", f"/engines/{shop.book.slug}/papers/folder")
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/zip")
    assert b"events.jsonl" in answer.content
    refused(shop.ask("stranger", "GET", f"/engines/{shop.book.slug}/papers/folder"), 404)


def test_a_second_pair_of_eyes_proves_itself_here_too(shop: Shop) -> None:
    step = shop.ask("builder", "GET", f"/engines/{shop.book.slug}/route").json()["steps"][0]["key"]
    said = {"kind": "step signed", "words": {"step": step, "eyes": "The viewer"}, "key": "reader-1:0001", "pin": "0000"}
    answer = shop.ask("builder", "POST", f"/engines/{shop.book.slug}/acts", json.dumps(said).encode())
    assert {each["field"] for each in refused(answer, 422)["problems"]} == {"eyes"}


def test_the_description_tells_nothing_of_the_shop(shop: Shop) -> None:
    for at in ("/docs", "/openapi.json"):
        text = browser().get(f"{ROOT}{at}").content.decode()
        for secret in (shop.book.slug, shop.book.title, "The owner", *shop.token.values()):
            assert secret not in text


def test_a_token_that_is_sent_to_the_local_bench_must_hold(client: Client, transactional_db: None) -> None:
    assert client.get(f"{ROOT}/engines").status_code == 200
    answer = client.get(f"{ROOT}/engines", headers={"Authorization": "Bearer bw_wrong"})
    assert answer["Content-Type"] == PROBLEM
    refused(answer, 401)


def test_what_is_taken_out_by_one_hand_is_brought_in_by_another(shop: Shop) -> None:
    out = shop.ask("viewer", "GET", f"/engines/{shop.book.slug}/papers/folder").content
    back = shop.ask("stranger", "POST", "/engines?key=folder:0001", out, "application/zip")
    assert export_texts(Book.objects.get(slug=back.json()["id"])) == export_texts(shop.book)
