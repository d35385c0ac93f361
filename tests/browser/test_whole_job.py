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

from playwright.sync_api import BrowserContext, expect
from pypdf import PdfReader

from blockwright.demos import demo_texts

from .conftest import LAPTOP, Bench, watched
from .keyboard import Hand
from .measuring import all_sent
from .test_every_page import NEW

Opens = Callable[..., BrowserContext]
BUILDER = "Keyboard Invented"
SKIRT_MM, BORE_MM = 85.900, 86.000
WALL_MM = BORE_MM - SKIRT_MM
SHOWN = {
    "bore": ("0", "µm"), "main shelled bore": ("+48", "µm"), "big end shelled bore": ("+42", "µm"), "small end": ("+19", "µm"),
    "pin bore": ("+15", "µm"), "pin room": ("60.30", "mm"), "pin length": ("60.00", "mm"), "main journal": ("55.000", "mm"), "rod journal": ("48.000", "mm"), "skirt": (f"{SKIRT_MM:.3f}", "mm"),
    "pin": ("21.000", "mm"), "top groove width": ("1.520", "mm"), "second groove width": ("1.520", "mm"), "top ring height": ("1.470", "mm"),
    "second ring height": ("1.470", "mm"), "top gap": ("0.40 0.41", "mm"), "second gap": ("0.45 0.48", "mm"),
    "upper rail gap": ("0.50 0.55", "mm"), "lower rail gap": ("0.50 0.55", "mm"), "crank end float": ("0.10", "mm"), "rod side": ("0.20 0.22", "mm"),
    "piston to deck": ("0.50", "mm"), "turning torque": ("2", "N·m"),
}  # fmt: skip
"""What each gauge shows of this engine, and the unit that the page must say beside the entry."""
RECKONED = (
    ("Wall clearance, cylinder 1", WALL_MM, "inside common practice"),
    ("Main film, main 2", 0.048, "inside common practice"),
    ("Rod film, cylinder 1", 0.042, "inside common practice"),
    ("Top end gap, cylinder 1", 0.405, "outside"),
)
"""What the page must say of some fits: sizes as above, against what common practice gives for a bore of 86 mm and journals of 55 and 48 mm."""
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
    said, typed = measure(hand)
    assert [value for _, value in own_bench.values(slug)] == [text.replace(" ", " to ") for text in typed]
    for fit, value_mm, verdict in RECKONED:
        value, words = said[fit]
        assert value.startswith(f"{value_mm:.3f}"), (fit, value)
        assert verdict in words, (fit, words)
    ring = file_the_top_ring(hand)
    signed = sign_steps(hand, 3)
    look_at_the_wall(hand)
    told_on_the_sheet(sheet_of(hand), len(typed), ring, signed)
    acts = own_bench.acts(slug)
    kinds = [act.kind for act in acts]
    assert [int(act.body["cells"]["taken"]) for act in acts if act.kind == "pass filed"] == ring.turns != []
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
    for key, text in {**NEW, "rotation": "anticlockwise"}.items():
        wanted = f"#f-{key}"
        if hand.page.locator(wanted).evaluate("field => field.value") == text:
            continue
        (hand.choose if hand.page.locator(wanted).evaluate("field => field.matches('select')") else hand.fill)(
            wanted, text
        )
    hand.follow("form.own button.main", re.compile(r"/e/[\w-]+/$"))
    expect(hand.page.locator("h1")).to_be_visible()
    return hand.page.url.split("/")[-2]


def measure(hand: Hand) -> tuple[dict[str, tuple[str, str]], list[str]]:
    """Every reading that is planned: value and verdict of each fit, as the page said them last, and what was typed."""
    page = hand.page
    hand.follow("main .say a.main", "**/measure/**", work=True)
    said: dict[str, tuple[str, str]] = {}
    typed: list[str] = []
    while len(typed) < 200:
        expect(page.locator("#value")).to_be_focused()
        where = page.inner_text("#where")
        feature = re.split(r"[,:(]", where)[0].strip().lower()
        for _ in range(len(re.findall(r"(part|gauge|bore) not said", page.inner_text("#facts")))):
            hand.type("20 C")
            hand.press("Enter")
        shown, unit = SHOWN[feature]
        assert page.inner_text("#unit") == unit, where
        hand.type(shown)
        typed.append(shown)
        hand.press("Enter")
        page.wait_for_selector("#verdict [data-tone]", state="attached")
        said |= {
            row.locator(".at a").inner_text(): (row.locator(".value").inner_text(), row.locator(".words").inner_text())
            for row in page.locator("#verdict tbody tr").all()
        }
        if page.inner_text("#slip-said") == "Every spot of this job is read.":
            break
    all_sent(page)
    return said, typed


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


def file_the_top_ring(hand: Hand) -> Ring:
    """From the page of all rings to `This ring is done`; the ring as it then is."""
    page, ring = hand.page, Ring(0.405)
    hand.follow("nav.bar a[href$='/rings/']", "**/rings/")
    assert page.inner_text("h1") == "Next: R1 top, cylinder 1."
    hand.follow("main .say a.main", "**/rings/1/top/", work=True)
    for _ in range(8):
        said = page.inner_text("#said h1")
        if said.startswith("This ring is done."):
            return ring
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
        for blade in ring.blades:
            hand.type(blade)
            hand.press("Enter")
        all_sent(page)
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
    expect(page.locator(".verdict-words")).to_contain_text("Inside common practice")
    expect(page.locator("main")).to_contain_text(f"{SKIRT_MM:.3f} mm")


def sheet_of(hand: Hand) -> str:
    """The build sheet's text, fetched by Enter on its link."""
    hand.follow("nav.bar a[href$='/papers/']", "**/papers/")
    hand.to("main .say a.main")
    with hand.page.expect_download(timeout=60_000) as coming:
        hand.press("Enter")
    pdf = Path(coming.value.path()).read_bytes()
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def told_on_the_sheet(text: str, rows: int, ring: Ring, signed: list[str]) -> None:
    """Fits with their values and verdicts, sizes as they were typed, the gap as it was filed, the steps that were signed, and who did it all."""
    for fit, at, value_mm, verdict in (
        ("wall clearance", "cylinder 1", f"{WALL_MM:.4f}", "inside common practice"),
        ("main film", "main 2", "0.0480", "inside common practice"),
        ("top end gap", "cylinder 1", f"{sum(map(float, ring.blades)) / 2:.3f}", "inside computed bound"),
        ("main journal size", "main 1", f"{float(SHOWN['main journal'][0]):.4f}", "no limit given"),
        ("rod journal size", "throw 1", f"{float(SHOWN['rod journal'][0]):.4f}", "no limit given"),
    ):
        assert re.search(rf" {fit} (?:(?! {fit} ).)*? {at} {value_mm} ± [.\d]+ mm {verdict} ", text), (fit, text)
    assert re.search(rf"measured [-\d]+ by {BUILDER} read {rows} readings", text), text
    assert " rotation anticlockwise " in text
    for step in signed:
        assert re.search(rf"• {re.escape(step)}[^•]*? {BUILDER} ", text), (step, text)
