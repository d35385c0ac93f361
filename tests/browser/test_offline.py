"""Measuring on with no network and no bench: nothing is lost, nothing is kept twice, the order holds."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Route, expect

from .conftest import LAPTOP, PHONE, Bench, emptied, in_order, watched
from .measuring import all_sent, gauge, open_at, ready, stays, until

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]
ORDER = in_order("harbour")
SKIRTS_FROM = next(index for index, row in enumerate(ORDER) if row["feature"] == "skirt")


def _kept_by_worker(page: Page) -> None:
    until(page, "navigator.serviceWorker.controller !== null")
    until(page, "caches.open('bench-pages-1').then(pages => pages.keys()).then(keys => keys.length >= 2)")


def test_ten_readings_over_two_stations_with_the_network_gone_the_bench_dead_and_a_reload_between(
    own_bench: Bench, tmp_path: Path, context: Opens
) -> None:
    begin = SKIRTS_FROM - 5
    ten = ORDER[begin : begin + 10]
    assert len({row["feature"] for row in ten}) == 2
    done = {row["id"] for row in ORDER[:begin]}
    slug = own_bench.bring_in(emptied("harbour", lambda index, row: row["id"] in done), tmp_path / "job")
    tablet = context(**PHONE)
    page = open_at(tablet, own_bench, slug)
    _kept_by_worker(page)
    tablet.set_offline(True)
    own_bench.kill()
    gauge(page, *(row["value"] for row in ten[:4]))
    expect(page.locator("#held")).to_have_text("4 kept here, not sent yet")
    expect(page.locator("#tray")).to_contain_text("out of reach")
    page.reload()
    ready(page)
    expect(page.locator("#held")).to_have_text("4 kept here, not sent yet")
    assert page.locator("#lens .own").count() == 4
    page.goto(f"{own_bench.address}/e/{slug}/measure/")
    ready(page)
    gauge(page, *(row["value"] for row in ten[4:]))
    expect(page.locator("#held")).to_have_text("10 kept here, not sent yet")
    assert page.locator("#sketch svg").count() == 1
    assert own_bench.values(slug) == []
    own_bench.start()
    tablet.set_offline(False)
    all_sent(page)
    assert own_bench.values(slug) == [(row["id"], row["value"]) for row in ten]
    assert len({act.key for act in own_bench.acts(slug)}) == 10
    expect(page.locator("#verdict [data-tone]")).to_be_attached()
    expect(page.locator("#tray")).to_be_hidden()


def test_an_entry_whose_answer_was_lost_is_kept_once(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    lost = []

    def lose(route: Route) -> None:
        answer = route.fetch()
        lost.append(answer.status)
        route.abort()

    page.route("**/acts/", lose)
    gauge(page, "-8")
    expect(page.locator("#held")).to_have_text("1 kept here, not sent yet")
    page.wait_for_timeout(1500)
    page.unroute_all(behavior="ignoreErrors")
    all_sent(page)
    assert lost, "the bench had it, and the tablet did not learn so"
    assert len(set(lost)) == 1
    assert bench.values(slug) == [("r1", "-8")]


def test_the_same_key_sent_twice_by_hand_gives_the_same_answer(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    script = """async (slug) => {
      const send = () => fetch(`/e/${slug}/acts/`, {method: "POST", headers: {"Content-Type": "application/json", "X-CSRFToken": document.querySelector("meta[name=csrf]").content},
        body: JSON.stringify({kind: "reading taken", words: {row: "r1", value: "-8"}, key: "a-key-of-its-own-1"})}).then(answer => answer.json());
      return Promise.all([send(), send(), send()]);
    }"""
    answers = page.evaluate(script, slug)
    assert len({(answer["number"], answer["digest"]) for answer in answers}) == 1
    assert bench.values(slug) == [("r1", "-8")]


def test_a_reload_before_anything_was_sent_loses_nothing(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context()
    page = open_at(tablet, bench, slug)
    page.route("**/acts/", lambda route: route.abort())
    gauge(page, "-8", "-10")
    expect(page.locator("#held")).to_have_text("2 kept here, not sent yet")
    page.wait_for_timeout(300)
    kept = stays(page)
    assert [entry["words"]["value"] for entry in kept.values()] == ["-8", "-10"]
    page.close()
    other = open_at(tablet, bench, slug)
    all_sent(other)
    assert bench.values(slug) == [("r1", "-8"), ("r2", "-10")]
    assert [act.key for act in bench.acts(slug)] == list(kept)


def test_a_slip_that_was_never_sent_is_withdrawn_by_the_row_that_the_bench_gives_it(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context()
    page = open_at(tablet, bench, slug)
    tablet.set_offline(True)
    gauge(page, "-80")
    page.click("[data-key=undo]")
    page.get_by_role("button", name="gauge slipped").click()
    expect(page.locator("#history s")).to_have_text("-80 µm")
    gauge(page, "-8")
    tablet.set_offline(False)
    all_sent(page)
    acts = bench.acts(slug)
    assert [act.kind for act in acts] == ["reading taken", "reading withdrawn", "reading taken"]
    assert acts[1].body["row"] == acts[0].body["row"] == "r1"
    assert acts[2].body["cells"]["value"] == "-8"


def test_what_is_refused_after_a_day_out_of_reach_waits_to_be_mended(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context()
    page = open_at(tablet, bench, slug, "r25")
    tablet.set_offline(True)
    gauge(page, "971.29", "97.131", "97.131")
    tablet.set_offline(False)
    all_sent(page)
    expect(page.locator("#tray")).to_contain_text("Not taken: Skirt, P1, 971.29 mm")
    assert [value for _, value in bench.values(slug)] == ["97.131", "97.131"]
    page.reload()
    ready(page)
    expect(page.locator("#tray")).to_contain_text("Not taken: Skirt, P1, 971.29 mm")
    page.get_by_role("button", name="Throw it away").click()
    expect(page.locator("#tray")).to_be_hidden()
    assert len(bench.values(slug)) == 2


def test_a_token_that_ran_out_meanwhile_is_fetched_anew(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context()
    page = open_at(tablet, bench, slug)
    tablet.set_offline(True)
    gauge(page, "-8")
    tablet.clear_cookies()
    tablet.set_offline(False)
    all_sent(page)
    assert bench.values(slug) == [("r1", "-8")]


def test_whoever_is_signed_out_keeps_his_entries_until_he_says_who_he_is(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    sent_away = {"status": 302, "headers": {"Location": "/in/?next=/"}}
    for address in ("**/acts/", "**/measure-plan/", "**/news/**"):
        page.route(address, lambda route: route.fulfill(**sent_away))
    gauge(page, "-8", "-10")
    expect(page.locator("#tray")).to_contain_text("does not know who you are")
    expect(page.get_by_role("link", name="Say who you are")).to_have_attribute("href", re.compile("/in/"))
    assert [entry["held"] for entry in stays(page).values()] == ["waiting", "waiting"]
    page.unroute_all()
    page.evaluate("dispatchEvent(new Event('online'))")
    all_sent(page)
    expect(page.locator("#tray")).to_be_hidden()
    assert bench.values(slug) == [("r1", "-8"), ("r2", "-10")]


def test_another_hand_does_not_send_under_his_name_what_he_did_not_take(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context()
    page = open_at(tablet, bench, slug)
    page.route("**/acts/", lambda route: route.abort())
    gauge(page, "-8")
    page.wait_for_timeout(200)
    page.close()
    answer = tablet.request.get(f"{bench.address}/e/{slug}/measure/")
    token = re.search(r'name="csrf" content="([^"]+)"', answer.text())
    assert token is not None
    tablet.request.post(
        f"{bench.address}/name/",
        form={"name": "B. Hand", "csrfmiddlewaretoken": token[1]},
        headers={"Referer": bench.address},
    )
    other = open_at(tablet, bench, slug)
    expect(other.locator("#tray")).to_contain_text("1 taken by bench wait here")
    other.wait_for_timeout(1200)
    assert bench.values(slug) == []
    other.get_by_role("button", name="Send as B. Hand").click()
    all_sent(other)
    assert [(act.by, act.body["cells"]["value"]) for act in bench.acts(slug)] == [("B. Hand", "-8")]


def test_without_https_it_says_so_and_the_outbox_works_all_the_same(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context(**LAPTOP)
    tablet.add_init_script(
        "Object.defineProperty(window, 'isSecureContext', {value: false}); delete Navigator.prototype.serviceWorker; delete Crypto.prototype.randomUUID; delete Navigator.prototype.locks;"
    )
    page = open_at(tablet, bench, slug)
    faults = watched(page)
    expect(page.locator("#offline-said")).to_contain_text("needs the shop's certificate")
    tablet.set_offline(True)
    gauge(page, "-8", "-10", "-6")
    expect(page.locator("#held")).to_have_text("3 kept here, not sent yet")
    tablet.set_offline(False)
    all_sent(page)
    assert [value for _, value in bench.values(slug)] == ["-8", "-10", "-6"]
    assert faults.said == []


def test_a_station_that_was_never_opened_is_measured_with_no_network(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context()
    page = open_at(tablet, bench, slug)
    _kept_by_worker(page)
    tablet.set_offline(True)
    page.goto(f"{bench.address}/e/{slug}/measure/r25/")
    ready(page)
    assert "Skirt, P1" in page.inner_text("#where")
    assert page.locator("#sketch svg").count() == 1
    gauge(page, "97.129")
    expect(page.locator("#slip-said")).to_contain_text("kept here")
    page.goto(f"{bench.address}/e/{slug}/")
    expect(page.get_by_role("heading", level=1)).to_have_text("The bench is out of reach")
    page.get_by_role("link", name="Go on measuring").click()
    ready(page)
    expect(page.locator("#held")).to_have_text("1 kept here, not sent yet")
    tablet.set_offline(False)
    all_sent(page)
    assert bench.values(slug) == [("r25", "97.129")]


NEVER_ANSWERS = """
const true_one = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode, ...more) {
  if (stores !== "entries" || mode !== "readwrite" || !sessionStorage.holdBack) return true_one.call(this, stores, mode, ...more);
  return { objectStore: () => ({ put: () => ({}) }) };
};
"""


def test_an_entry_is_there_after_a_reload_in_the_very_moment_it_was_made(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    """The browser's database is not let answer before the page goes: only what was jotted down at once is left of the entry."""
    row = ORDER[SKIRTS_FROM]
    slug = new_book(emptied("harbour"))
    page = context(**LAPTOP).new_page()
    page.add_init_script(NEVER_ANSWERS)
    page.goto(f"{bench.address}/e/{slug}/measure/{row['id']}/")
    ready(page)
    page.evaluate("sessionStorage.holdBack = 'yes'")
    gauge(page, row["value"])
    page.wait_for_timeout(300)
    assert bench.acts(slug) == []
    page.evaluate("delete sessionStorage.holdBack")
    page.reload()
    ready(page)
    all_sent(page)
    until(page, "!Object.keys(localStorage).some(name => name.startsWith('blockwright-jot:'))")
    assert [act.body["cells"]["value"] for act in bench.acts(slug)] == [row["value"]]
