"""People in shop mode: signing in, joining, PINs, tablets, tokens; what ends, what is locked, what works once."""

import datetime as dt
import json
import re

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone

from blockwright.acts.roles import Role
from blockwright.bench.people import codes, hands, passwords, pin, sessions, tablets, tokens, tries
from blockwright.ledger.models import ApiToken, Book, Hand, OneTimeCode, Seat, Tablet, Try
from blockwright.problems import BlockwrightError

from .shop_hands import PASSWORD, PERSON, PIN, browser, hire, open_shop, sign_in, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(settings):
    open_shop(settings)


@pytest.fixture
def later(monkeypatch):
    """Moves the clock of sessions."""
    started = sessions.time.time()

    def move(seconds):
        monkeypatch.setattr(sessions.time, "time", lambda: started + seconds)

    return move


def who(client) -> str:
    """The name that `hands/own/` shows; blank where nobody is signed in."""
    answer = client.get("/hands/own/")
    return re.search(r"data-hand-name>([^<]*)<", answer.content.decode())[1] if answer.status_code == 200 else ""


def paired(owner: Hand, **words):
    """A browser of a paired tablet."""
    client = browser(**words)
    answer = client.post("/pair/", {"code": codes.new_code(codes.PAIR, by=owner, name="by the hone")})
    assert answer.status_code == 302, answer.content
    return client


def tap(client, hand: Hand, typed: str = PIN, **words):
    return client.post("/hands/", {"hand": hand.pk, "pin": typed}, **words)


# Signing in


def test_right_password_signs_in_and_wrong_does_not():
    hire()
    client = browser()
    refused = sign_in(client, password="turn it thrice by hand")
    assert refused.status_code == 422
    assert "do not go together" in refused.content.decode()
    assert not who(client)
    assert sign_in(client).status_code == 302
    assert who(client) == PERSON


def test_an_unknown_name_is_answered_like_a_wrong_password():
    hire()
    asked = [sign_in(browser(), name, "something else here") for name in (PERSON, "Nobody Such")]
    said = [re.sub(r'(value|content|headers)=["\'][^>]*|<meta[^>]*>', "", each.content.decode()) for each in asked]
    assert asked[0].status_code == asked[1].status_code == 422
    assert said[0] == said[1]


def test_session_cookie_is_shut_in():
    hire()
    client = browser()
    sign_in(client)
    kept = client.cookies[client.cookies and next(name for name in client.cookies if "session" in name)]
    assert kept["httponly"]
    assert kept["secure"]
    assert kept["samesite"] == "Lax"


def test_signing_in_gives_a_new_session_and_signing_out_deletes_it():
    hire()
    client = signed_in(Hand.objects.get())
    first = client.session.session_key
    sign_in(client)
    second = client.session.session_key
    assert first != second
    assert not Session.objects.filter(session_key=first).exists()
    client.post("/out/")
    assert not Session.objects.filter(session_key=second).exists()
    assert not who(client)


def test_sessions_past_their_time_are_swept_out():
    hand = hire()
    signed_in(hand)
    Session.objects.update(expire_date=timezone.now() - dt.timedelta(seconds=1))
    signed_in(hand)
    assert Session.objects.count() == 1


def test_a_link_onward_never_leads_out_of_the_shop():
    hire()
    for to, lands in (
        ("/people/", "/people/"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example", "/"),
        ("http://bench.local/", "/"),
    ):
        answer = browser().post("/in/", {"name": PERSON, "password": PASSWORD, "next": to})
        assert answer["Location"] == lands


def test_too_many_wrong_passwords_shut_the_name_even_for_the_right_one():
    hire()
    for turn in range(tries.PER_NAME):
        assert sign_in(browser(REMOTE_ADDR=f"192.168.7.{turn}"), password="wrong").status_code == 422
    shut = sign_in(browser(REMOTE_ADDR="192.168.7.99"))
    assert shut.status_code == 429
    assert "Wait 15 minutes" in shut.content.decode()
    Try.objects.update(at=timezone.now() - tries.WHILE - dt.timedelta(seconds=1))
    assert sign_in(browser()).status_code == 302


def test_too_many_wrong_passwords_shut_the_place_for_every_name():
    hire()
    for turn in range(tries.PER_PLACE):
        sign_in(browser(), name=f"Guess {turn}", password="wrong")
    assert sign_in(browser()).status_code == 429
    assert sign_in(browser(REMOTE_ADDR="192.168.7.10")).status_code == 302


def test_right_passwords_do_not_count_as_tries():
    hire()
    for _ in range(tries.PER_NAME + 2):
        assert sign_in(browser()).status_code == 302


def test_refused_tries_do_not_lengthen_the_wait():
    hire()
    for _ in range(tries.PER_NAME + 5):
        sign_in(browser(), password="wrong")
    assert Try.objects.count() == 2 * tries.PER_NAME


def test_tries_keep_no_name_and_no_address():
    sign_in(browser(), name="my password, typed in the wrong field")
    kept = " ".join(Try.objects.values_list("who", flat=True))
    assert kept
    assert "password" not in kept
    assert "192.168" not in kept


# Sessions end


def test_a_session_ends_when_unused_and_lasts_while_used(later):
    client = signed_in(hire())
    for hours in (7, 14, 21):
        later(hours * 3600)
        assert who(client) == PERSON
    later(21 * 3600 + 8 * 3600 + 1)
    assert not who(client)


def test_looking_for_news_is_no_use(later):
    book = Book.objects.create(title="Four")
    client = signed_in(hire(book=book, role=Role.VIEWER))
    later(sessions.IDLE_S[sessions.PASSWORD] - 10)
    assert client.get(f"/e/{book.slug}/news/").status_code == 200
    later(sessions.IDLE_S[sessions.PASSWORD] + 10)
    assert not who(client)


def test_a_session_ends_after_a_week_however_used(later):
    client = signed_in(hire())
    for hours in range(6, 7 * 24, 6):
        later(hours * 3600)
        assert who(client) == PERSON
    later(7 * 24 * 3600 + 1)
    assert not who(client)


def test_a_new_password_ends_the_other_sessions():
    hand = hire()
    here, there = signed_in(hand), signed_in(hand)
    new = "quite another set of words"
    answer = here.post("/hands/own/", {"do": "password", "old": PASSWORD, "password": new, "again": new})
    assert answer.status_code == 302
    assert who(here) == PERSON
    assert not who(there)
    assert sign_in(browser(), password=new).status_code == 302


@pytest.mark.parametrize(
    ("password", "again", "told"),
    [
        ("short", "short", "too easy"),
        ("1234567890123", "1234567890123", "too easy"),
        ("password123", "password123", "too easy"),
        ("ada invented forever", "ada invented forever", "has the name in it"),
        ("turn it twice by hand", "turn it twice by hands", "differ"),
        ("x" * 201, "x" * 201, "too long"),
    ],
)
def test_easy_passwords_are_refused(password, again, told):
    hand = hire()
    with pytest.raises(BlockwrightError, match=told):
        passwords.set_password(hand, password, again)
    hand.user.refresh_from_db()
    assert hand.user.check_password(PASSWORD)


def test_passwords_and_pins_are_kept_by_argon2(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    hand = hire()
    assert hand.user.password.startswith("argon2$argon2id$")
    assert hand.pin_hash.startswith("argon2$argon2id$")


def test_argon2_comes_first_in_the_shop_itself():
    from blockwright.bench import settings as kept

    assert kept.PASSWORD_HASHERS[0].endswith("Argon2PasswordHasher")


# Joining


def joining(client, code, **words):
    return client.post("/join/", {"code": code, "password": PASSWORD, "again": PASSWORD} | words)


def test_first_owner_joins_by_a_code_that_works_once():
    code = hands.first_owner_code()
    client = browser()
    assert joining(client, code.upper().replace("-", " "), name="Ada Invented").status_code == 302
    assert who(client) == PERSON
    assert client.get("/people/").status_code == 200
    assert joining(browser(), code).status_code == 422
    assert hands.first_owner_code() is None


def test_a_later_start_makes_the_first_owners_earlier_code_void():
    first, second = hands.first_owner_code(), hands.first_owner_code()
    assert Hand.objects.count() == 1
    assert joining(browser(), first).status_code == 422
    assert joining(browser(), second).status_code == 302


def test_a_code_ends_after_its_time():
    code = hands.first_owner_code()
    OneTimeCode.objects.update(until=timezone.now() - dt.timedelta(seconds=1))
    assert joining(browser(), code).status_code == 422


def test_a_password_that_will_not_do_does_not_use_the_code_up():
    code = hands.first_owner_code()
    assert joining(browser(), code, again="another").status_code == 422
    assert joining(browser(), code).status_code == 302


def test_codes_are_not_kept_as_they_are():
    code = hands.first_owner_code()
    kept = str(list(OneTimeCode.objects.values()))
    assert code not in kept
    assert code.replace("-", "") not in kept


def test_guessing_codes_is_refused_before_long():
    code = hands.first_owner_code()
    for _ in range(tries.PER_PLACE):
        assert joining(browser(), "aaaa-bbbb-cccc-dddd").status_code == 422
    assert joining(browser(), code).status_code == 429


def test_a_code_to_join_pairs_no_tablet_and_the_other_way_round():
    owner = hire("Olga Invented", owner=True)
    assert browser().post("/pair/", {"code": codes.new_code(codes.JOIN, by=owner, for_hand=owner)}).status_code == 422
    assert joining(browser(), codes.new_code(codes.PAIR, by=owner, name="x")).status_code == 422


def test_a_name_on_record_is_not_changed_by_joining_anew():
    hand = hire()
    signed_in(hand)
    assert joining(browser(), codes.new_code(codes.JOIN, for_hand=hand), name="Somebody Else").status_code == 302
    hand.refresh_from_db()
    assert hand.name == PERSON


# PINs


def test_pin_changes_hands_at_a_paired_tablet_only():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    assert tap(tablet, hand).status_code == 302
    assert who(tablet) == PERSON
    assert tap(tablet, owner).status_code == 302
    assert who(tablet) == "Olga Invented"
    assert tap(browser(), hand).status_code == 403


def test_names_are_shown_at_a_paired_tablet_only():
    owner = hire("Olga Invented", owner=True)
    assert b"Olga Invented" in paired(owner).get("/hands/").content
    elsewhere = browser().get("/hands/", follow=True)
    assert elsewhere.status_code == 200
    assert b"Olga" not in elsewhere.content


def test_change_of_hands_by_script_gives_name_and_a_fresh_token():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner, enforce_csrf_checks=False)
    answer = tap(tablet, hand, HTTP_ACCEPT="application/json")
    told = answer.json()
    assert told["name"] == PERSON
    strict = browser(enforce_csrf_checks=True)
    strict.cookies = tablet.cookies
    strict.defaults["HTTP_REFERER"] = "https://bench.local/hands/"
    assert strict.post("/out/", HTTP_X_CSRFTOKEN="x" * 64).status_code == 403
    assert strict.post("/out/", HTTP_X_CSRFTOKEN=told["token"]).status_code == 302


def test_five_wrong_pins_lock_it_even_for_the_right_one():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    said = [tap(tablet, hand, "9999").content.decode() for _ in range(pin.TRIES)]
    assert "There are 4 more tries" in said[0]
    assert "There is one more try" in said[3]
    assert "Sign in with the password, or wait 15 minutes" in said[4]
    assert tap(tablet, hand).status_code == 422
    assert not who(tablet)


def test_a_locked_pin_opens_after_the_wait_and_the_next_wait_is_longer():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    for _ in range(pin.TRIES):
        tap(tablet, hand, "9999")
    Hand.objects.filter(pk=hand.pk).update(locked_until=timezone.now() - dt.timedelta(seconds=1))
    for _ in range(pin.TRIES):
        said = tap(tablet, hand, "9999").content.decode()
    assert "wait 30 minutes" in said
    Hand.objects.filter(pk=hand.pk).update(locked_until=timezone.now() - dt.timedelta(seconds=1))
    assert tap(tablet, hand).status_code == 302
    hand.refresh_from_db()
    assert hand.pin_tries == 0


def test_waits_double_up_to_a_day():
    waits = [pin.lock_after(pin.TRIES * turn) for turn in range(1, 12)]
    assert waits[:3] == [dt.timedelta(minutes=15), dt.timedelta(minutes=30), dt.timedelta(hours=1)]
    assert waits == sorted(waits)
    assert waits[-1] == dt.timedelta(days=1)


def test_the_password_opens_a_locked_pin():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    for _ in range(pin.TRIES):
        tap(tablet, hand, "9999")
    signed_in(hand)
    assert tap(tablet, hand).status_code == 302


def test_a_try_is_counted_before_it_is_looked_at(monkeypatch):
    """Tries that come in while others are still being looked at find the lock, not a free PIN."""
    hand, let_through = hire(), []

    def slow(typed, _hash):
        let_through.append(typed)
        if len(let_through) < 20:
            with pytest.raises(BlockwrightError):
                pin.check_pin(Hand.objects.get(pk=hand.pk), "0000")
        return False

    monkeypatch.setattr(pin, "check_password", slow)
    with pytest.raises(BlockwrightError):
        pin.check_pin(hand, "0000")
    assert len(let_through) == pin.TRIES


@pytest.mark.parametrize("typed", ["123", "123456789", "12a4", "", "1111", "1234", "87654", "٤٠٨٦", " 4086"])
def test_poor_pins_are_refused(typed):
    with pytest.raises(BlockwrightError):
        pin.set_pin(hire(), typed)


def test_setting_a_pin_asks_for_the_password():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    tap(tablet, hand)
    assert tablet.post("/hands/own/", {"do": "pin", "old": PIN, "pin": "7294"}).status_code == 422
    assert tablet.post("/hands/own/", {"do": "pin", "old": PASSWORD, "pin": "7294"}).status_code == 302
    hand.refresh_from_db()
    pin.check_pin(hand, "7294")


def test_a_session_by_pin_ends_with_the_pin_the_tablet_and_half_an_hour(later):
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    tap(tablet, hand)
    pin.set_pin(Hand.objects.get(pk=hand.pk), "7294")
    assert not who(tablet)
    tap(tablet, hand, "7294")
    assert who(tablet) == PERSON
    later(29 * 60)
    assert who(tablet) == PERSON
    later(29 * 60 + 30 * 60 + 1)
    assert not who(tablet)
    later(0)
    tap(tablet, hand, "7294")
    tablets.strike_off(Tablet.objects.get())
    assert not who(tablet)
    assert tap(tablet, hand, "7294").status_code == 403


def test_a_session_by_pin_is_no_good_without_its_tablet():
    owner, hand = hire("Olga Invented", owner=True), hire()
    tablet = paired(owner)
    tap(tablet, hand)
    session = next(each.value for name, each in tablet.cookies.items() if "session" in name)
    for thief in (browser(), paired(owner)):
        thief.cookies["bw_session"] = session
        assert not who(thief)
    assert who(tablet) == PERSON


def test_an_owner_by_pin_builds_but_does_not_look_after_people():
    owner, book = hire("Olga Invented", owner=True), Book.objects.create(title="Four")
    tablet = paired(owner)
    tap(tablet, owner)
    refused = tablet.get("/people/")
    assert refused.status_code == 403
    assert "sign in by your password" in refused.content.decode()
    assert tablet.get(f"/e/{book.slug}/news/").status_code == 200


# Tablets and tokens


def test_a_pairing_code_works_once_and_ten_minutes():
    owner = hire("Olga Invented", owner=True)
    code = codes.new_code(codes.PAIR, by=owner, name="by the hone")
    assert codes.any_open(codes.PAIR)
    assert browser().post("/pair/", {"code": code}).status_code == 302
    assert browser().post("/pair/", {"code": code}).status_code == 422
    assert Tablet.objects.count() == 1
    assert not codes.any_open(codes.PAIR)
    codes.new_code(codes.PAIR, by=owner, name="x")
    left = OneTimeCode.objects.get(used_at=None).until - timezone.now()
    assert dt.timedelta(minutes=9) < left <= dt.timedelta(minutes=10)


def test_the_tablets_cookie_is_shut_in_and_its_token_is_not_kept():
    owner = hire("Olga Invented", owner=True)
    client = paired(owner)
    cookie = client.cookies["__Host-bw_tablet"]
    assert cookie["httponly"]
    assert cookie["secure"]
    assert cookie["path"] == "/"
    assert not cookie["domain"]
    assert cookie["max-age"] == tablets.LIFE_S
    assert cookie.value.split(":")[0] not in str(list(Tablet.objects.values()))


def test_a_forged_tablet_is_none():
    owner, hand = hire("Olga Invented", owner=True), hire()
    client = paired(owner)
    client.cookies["__Host-bw_tablet"] = client.cookies["__Host-bw_tablet"].value[:-1] + "x"
    assert tap(client, hand).status_code == 403


def test_the_pairing_page_shows_what_the_code_holds():
    """Read back by a reader of codes that somebody else wrote."""
    import io

    import zxingcpp
    from PIL import Image

    owner = hire("Olga Invented", owner=True)
    page = signed_in(owner).post("/people/tablets/", {"name": "by the hone"}).content.decode()
    code = re.search(r'class="code">([a-z0-9-]+)<', page)[1]
    link = f"https://bench.local/pair/#{code}"
    from blockwright.bench.people.reach import code_picture

    assert code_picture(link) in page
    import segno

    out = io.BytesIO()
    segno.make(link, error="m", micro=False).save(out, kind="png", scale=6, border=4)
    assert zxingcpp.read_barcodes(Image.open(out))[0].text == link


def token_of_page(client, hand, **words) -> str:
    page = client.post("/people/tokens/", {"hand": hand.pk, "name": "shop screen"} | words).content.decode()
    return re.search(r"bw_[A-Za-z0-9_-]{43}", page)[0]


def asked_with(client, text: str, path: str = "/api/v1/"):
    """The actor of a request that bears a token."""
    from django.test import RequestFactory

    from blockwright.bench.people.acting import actor_of

    request = RequestFactory().get(path, headers={"Authorization": f"Bearer {text}"})
    request.session = client.session
    request.user = type("Nobody", (), {"is_authenticated": False})()
    return actor_of(request)


def test_a_token_is_shown_once_kept_as_a_digest_and_can_be_taken_back():
    owner, book = hire("Olga Invented", owner=True), Book.objects.create(title="Four")
    hand = hire(book=book, role=Role.BUILDER)
    client = signed_in(owner)
    text = token_of_page(client, hand, write="1")
    assert text not in client.get("/people/tokens/").content.decode()
    assert text not in str(list(ApiToken.objects.values()))
    assert asked_with(client, text).role_at(book) is Role.BUILDER
    client.post("/people/tokens/", {"revoke": ApiToken.objects.get().pk})
    assert not asked_with(client, text).signed_in


def test_a_token_that_may_not_write_only_looks_and_none_looks_after_people():
    owner, book = hire("Olga Invented", owner=True), Book.objects.create(title="Four")
    hand = hire(book=book, role=Role.BUILDER)
    other = Book.objects.create(title="Six")
    client = signed_in(owner)
    looks, writes = (
        asked_with(client, token_of_page(client, hand)),
        asked_with(client, token_of_page(client, owner, write="1")),
    )
    assert looks.role_at(book) is Role.VIEWER
    assert looks.role_at(other) is None
    assert writes.role_at(other) is Role.OWNER
    assert not writes.is_owner


def test_a_token_is_good_for_the_api_alone():
    owner = hire("Olga Invented", owner=True)
    _token, text = tokens.new_token(owner, "x", may_write=True)
    client = browser()
    for path in ("/", "/people/", "/hands/own/"):
        answer = client.get(path, headers={"Authorization": f"Bearer {text}"})
        assert answer.status_code == 302
        assert answer["Location"].startswith("/in/")


def test_a_token_of_a_hand_who_was_shut_out_is_a_stranger():
    hand = hire()
    _token, text = tokens.new_token(hand, "x", may_write=True)
    assert asked_with(browser(), text).signed_in
    hand.user.is_active = False
    hand.user.save()
    assert not asked_with(browser(), text).signed_in


def test_a_token_that_does_not_hold_is_a_stranger_whatever_the_session():
    owner = hire("Olga Invented", owner=True)
    assert not asked_with(signed_in(owner), "bw_" + "x" * 43).signed_in


def test_who_is_let_go_is_out_everywhere_at_once():
    owner, book = hire("Olga Invented", owner=True), Book.objects.create(title="Four")
    hand = hire(book=book, role=Role.BUILDER)
    tablet, client = paired(owner), signed_in(hand)
    tap(tablet, hand)
    _token, text = tokens.new_token(hand, "x", may_write=True)
    code = codes.new_code(codes.JOIN, for_hand=hand)
    assert signed_in(owner).post(f"/people/{hand.pk}/", {"do": "let-go"}).status_code == 302
    assert not who(client)
    assert not who(tablet)
    assert sign_in(browser()).status_code == 422
    assert not asked_with(browser(), text).signed_in
    assert joining(browser(), code).status_code == 422
    assert not Seat.objects.filter(hand=hand).exists()
    with pytest.raises(BlockwrightError):
        hands.take_on(PERSON.upper())


def test_the_last_owner_stays():
    owner = hire("Olga Invented", owner=True)
    with pytest.raises(BlockwrightError, match="only owner"):
        hands.let_go(owner, None)
    other = hire("Otto Invented", owner=True)
    with pytest.raises(BlockwrightError, match="that is you"):
        hands.let_go(owner, owner)
    hands.let_go(owner, other)


def test_seats_are_given_and_taken_and_none_above_builder():
    owner, book = hire("Olga Invented", owner=True), Book.objects.create(title="Four")
    hand, client = hire(), signed_in(owner)
    client.post(f"/people/{hand.pk}/", {"do": "seats", f"seat-{book.pk}": "2"})
    assert Seat.objects.get().role == Role.MEASURER
    assert client.post(f"/people/{hand.pk}/", {"do": "seats", f"seat-{book.pk}": "4"}).status_code == 422
    client.post(f"/e/{book.slug}/seats/", {f"seat-{hand.pk}": "3"})
    assert Seat.objects.get().role == Role.BUILDER
    client.post(f"/e/{book.slug}/seats/", {f"seat-{hand.pk}": ""})
    assert not Seat.objects.exists()


def test_no_secret_reaches_the_log(caplog):
    owner, hand = hire("Olga Invented", owner=True), hire()
    caplog.set_level("DEBUG")
    client = signed_in(owner)
    page = client.post("/people/tablets/", {"name": "by the hone"}).content.decode()
    code = re.search(r'class="code">([a-z0-9-]+)<', page)[1]
    text = token_of_page(client, hand)
    tablet = browser()
    tablet.post("/pair/", {"code": code})
    tap(tablet, hand, "9998")
    tap(tablet, hand)
    client.get("/nowhere/", headers={"Authorization": f"Bearer {text}"})
    said = "\n".join(
        json.dumps({key: str(value) for key, value in record.__dict__.items() if key != "request"})
        for record in caplog.records
    )
    said += "\n".join(record.getMessage() for record in caplog.records)
    for secret in (PASSWORD, code, text, "9998", PIN, PERSON, tablet.cookies["__Host-bw_tablet"].value):
        assert secret not in said


# The terminal


def test_the_terminal_takes_an_owner_on_and_makes_codes(monkeypatch):
    from typer.testing import CliRunner

    from blockwright.cli import people

    monkeypatch.setattr(people, "_start", lambda data, database: None)
    asked = CliRunner()
    assert "Nobody yet" in asked.invoke(people.hands, ["list"]).output
    first = asked.invoke(people.hands, ["add", PERSON, "--owner"]).stdout.strip()
    second = asked.invoke(people.hands, ["code", PERSON.lower()]).stdout.strip()
    assert asked.invoke(people.hands, ["list"]).output == f"{PERSON}: owner, has not joined\n"
    assert joining(browser(), first).status_code == 422
    client = browser()
    assert joining(client, second).status_code == 302
    assert client.get("/people/").status_code == 200
    assert "there is no Eve here" in str(asked.invoke(people.hands, ["code", "Eve"]).exception)
