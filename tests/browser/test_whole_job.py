"""A whole job by keyboard alone: from the list of engines to the build sheet, without pointing at anything once.

Nothing here clicks, taps or puts a value into a field by its name: keys are pressed, and the page is read. What the gauges show is made up by the
test from a single whose sizes it knows; what the page must say of it is reckoned here from those sizes and the limits that stand beside it.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, expect
from pypdf import PdfReader

from blockwright.demos import demo_texts

from .conftest import LAPTOP, Bench, watched
from .keyboard import Hand
from .measuring import all_sent, ready
from .test_every_page import NEW

Opens = Callable[..., BrowserContext]
BUILDER = "Keyboard Invented"
SKIRT_MM, BORE_MM = 85.900, 86.000
WALL_MM = BORE_MM - SKIRT_MM
SHOWN = {
    "bore": ("0", "µm"), "main shelled bore": ("+48", "µm"), "big end shelled bore": ("+42", "µm"), "small end": ("+15", "µm"),
    "pin bore": ("+8", "µm"), "main journal": ("55.000", "mm"), "rod journal": ("48.000", "mm"), "skirt": (f"{SKIRT_MM:.3f}", "mm"),
    "pin": ("21.000", "mm"), "top groove width": ("1.520", "mm"), "second groove width": ("1.520", "mm"), "top ring height": ("1.470", "mm"),
    "second ring height": ("1.470", "mm"), "top gap": ("0.28 0.30", "mm"), "second gap": ("0.45 0.48", "mm"),
    "upper rail gap": ("0.50 0.55", "mm"), "lower rail gap": ("0.50 0.55", "mm"), "crank end float": ("0.10", "mm"), "rod side": ("0.20 0.22", "mm"),
    "piston to deck": ("0.50", "mm"), "turning torque": ("2", "N·m"),
}  # fmt: skip
"""What each gauge shows of this engine, and the unit that the page must say beside the entry."""
TURN_MM = 0.011
"""What a turn of this grinder opens a gap by."""
BLADE_STEP_MM = 0.01


def test_a_whole_job_from_new_to_sheet_by_keyboard_alone(own_bench: Bench, context: Opens, tmp_path: Path) -> None:
    own_bench.bring_in(demo_texts("hillclimb"), tmp_path / "job")
    page = context(**LAPTOP, accept_downloads=True).new_page()
    hand, faults = Hand(page), watched(page)
    page.goto(f"{own_bench.address}/")
    say_who(hand)
    slug = own_engine(hand)
    heads = measure(hand)
    assert heads["skirt"].startswith(f"In: wall clearance, cylinder 1, {WALL_MM:.3f} mm")
    assert heads["top gap"].startswith("Out: top end gap, cylinder 1")
    turns = file_the_top_ring(hand)
    assert turns
    signed = sign_steps(hand, 3)
    look_at_the_wall(hand)
    text = sheet_of(hand)
    told_on_the_sheet(text)
    acts = own_bench.acts(slug)
    kinds = [act.kind for act in acts]
    assert kinds.count("pass filed") == len(turns)
    assert kinds.count("step signed") == len(signed)
    assert {act.by for act in acts} == {BUILDER}
    assert not hand.pointed
    assert faults.said == []


def say_who(hand: Hand) -> None:
    hand.follow("a.who", "**/name/**")
    hand.fill("#name", BUILDER)
    hand.press("Enter")
    expect(hand.page.locator("a.who")).to_have_text(BUILDER)


def own_engine(hand: Hand) -> str:
    """From the list to an engine of one's own; the slug of its book."""
    hand.follow("main a[href='/new/']", "**/new/")
    hand.follow("main a[href='/new/own/']", "**/new/own/")
    hand.follow("a[href='?like=single']", "**/new/own/?like=single")
    for key, text in NEW.items():
        wanted = f"#f-{key}"
        if hand.page.locator(wanted).evaluate("field => field.value") == text:
            continue
        (hand.choose if hand.page.locator(wanted).evaluate("field => field.matches('select')") else hand.fill)(wanted, text)
    hand.press("Enter")
    hand.page.wait_for_url(re.compile(r"/e/[\w-]+/$"))
    expect(hand.page.locator("h1")).to_be_visible()
    return hand.page.url.split("/")[-2]


def measure(hand: Hand) -> dict[str, str]:
    """Every reading that is planned; the head of the verdict on the last reading of each feature."""
    page = hand.page
    hand.follow("main .say a.main", "**/measure/**", work=True)
    heads: dict[str, str] = {}
    for _ in range(200):
        expect(page.locator("#value")).to_be_focused()
        where = page.inner_text("#where")
        feature = re.split(r"[,:(]", where)[0].strip().lower()
        for _ in range(len(re.findall(r"(part|gauge|bore) not said", page.inner_text("#facts")))):
            hand.type("20 C")
            hand.press("Enter")
        shown, unit = SHOWN[feature]
        assert page.inner_text("#unit") == unit, where
        hand.type(shown)
        hand.press("Enter")
        page.wait_for_selector("#verdict [data-tone]", state="attached")
        heads[feature] = page.inner_text("#verdict .said")
        if page.inner_text("#slip-said") == "Every spot of this job is read.":
            break
    all_sent(page)
    return heads


@dataclass
class Ring:
    """The ring in hand as it truly is: its gap, which every turn opens."""

    gap_mm: float
    turns: list[int] = field(default_factory=list)

    def file(self, turns: int) -> None:
        self.turns.append(turns)
        self.gap_mm += turns * TURN_MM

    @property
    def blades(self) -> tuple[str, str]:
        """The largest blade that goes, and the next, that does not."""
        goes = math.floor(self.gap_mm / BLADE_STEP_MM + 1e-9) * BLADE_STEP_MM
        return f"{goes:.2f}", f"{goes + BLADE_STEP_MM:.2f}"


def file_the_top_ring(hand: Hand) -> list[int]:
    """From the page of all rings to `This ring is done`; the turns that were taken, pass by pass."""
    page, ring = hand.page, Ring(0.295)
    hand.follow("nav.bar a[href$='/rings/']", "**/rings/")
    assert page.inner_text("h1") == "Next: R1 top, cylinder 1."
    hand.follow("main .say a.main", "**/rings/1/top/", work=True)
    for _ in range(8):
        said = page.inner_text("#said h1")
        if said.startswith("This ring is done."):
            return ring.turns
        told = re.fullmatch(r"Take (\d+) turns?\.", said)
        if told:
            expect(page.locator("#taken")).to_be_focused()
            hand.fill("#taken", told[1])
            hand.press("Enter")
            ring.file(int(told[1]))
        expect(page.locator("#ritual")).to_be_visible()
        if page.locator("#sitting").is_visible():
            for cell, text in (("ring_temp", "20"), ("bore_temp", "20"), ("depth", "25 mm")):
                hand.fill(f"#{cell}", text)
        hand.to("#ready")
        hand.press("Enter")
        number = page.evaluate("Number(document.querySelector('[data-seen]')?.dataset.seen || 0)")
        for blade in ring.blades:
            hand.type(blade)
            hand.press("Enter")
        all_sent(page)
        del number
        expect(page.locator("#hold, #read")).to_have_count(2)
        expect(page.locator("#hold")).to_be_hidden()
        expect(page.locator("#read")).to_be_hidden()
    raise AssertionError("the ring is never done")


def sign_steps(hand: Hand, count: int) -> list[str]:
    """The next steps of the route, one after another, each signed with what it asks for; their names."""
    page, signed = hand.page, list[str]()
    for _ in range(count):
        hand.follow("nav.bar a[href$='/route/']", "**/route/")
        hand.follow("main .say a.main", "**/route/*/")
        signed.append(page.inner_text("h1"))
        for number, item in enumerate(page.locator("#sign-form [data-kind=counts]").all()):
            there_must_be = re.search(r"there must be (\d+)", item.inner_text())
            hand.fill(f"#icounts-{number}", there_must_be[1] if there_must_be else "9")
        hand.to("#sign-it")
        hand.press("Enter")
        expect(page.locator(".say")).to_contain_text(f"Done: signed by {BUILDER}")
    return signed


def look_at_the_wall(hand: Hand) -> None:
    """From the engine's page to the story of the wall clearance."""
    page = hand.page
    hand.follow("nav.bar a[href$='/']:first-of-type", re.compile(r"/e/[\w-]+/$"))
    for place in ("#group-bores > summary", "#fit-wall-clearance > summary"):
        shut = page.locator(place).evaluate("summary => !summary.parentElement.open")
        if shut:
            hand.to(place)
            hand.press("Enter")
    hand.follow("a[href*='/fit/wall%20clearance/']", "**/fit/wall*/**")
    expect(page.locator(".value-sheet .gauge")).to_contain_text(f"{WALL_MM:.3f}")
    expect(page.locator(".verdict-words")).to_contain_text("Conforms")
    expect(page.locator("main")).to_contain_text(f"{SKIRT_MM:.3f} mm")


def sheet_of(hand: Hand) -> str:
    """The build sheet's text, fetched by Enter on its link."""
    hand.follow("nav.bar a[href$='/papers/']", "**/papers/")
    hand.to("main .say a.main")
    with hand.page.expect_download(timeout=60_000) as coming:
        hand.press("Enter")
    pdf = Path(coming.value.path()).read_bytes()
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def told_on_the_sheet(text: str) -> None:
    """The fit with its value and verdict, what was typed, and who did it."""
    assert re.search(rf"all clearance.{{0,200}}{WALL_MM:.3f}.{{0,80}}conforms", text), text
    assert f"{SKIRT_MM:.3f}" in text
    assert BUILDER in text
