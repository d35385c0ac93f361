"""Whatever is signed, undone, swapped, withdrawn and edited, in whatever order: no hold point is ever passed over.

After every act the program must say of every step what the test's own book says (`book`), and it must refuse exactly what the book refuses, for
exactly the reasons that the book has. Forbidden acts are tried on purpose, most of them at the one moment at which nothing else is wrong.
"""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from blockwright.choices.route.graph import route_from, why_not
from blockwright.choices.route.progress import Progress, State, progress_of, sign, undo
from blockwright.engine.rules import Accepted
from blockwright.engine.steps import Given, Signed, Signing, StepChange
from blockwright.problems import BlockwrightError

from .book import MARSH, QUILL, Book, Entry, altered, fit_does, looked_at, seen_now
from .shop import (
    BEAD,
    KEYS,
    OPEN_TIME_S,
    START,
    SUMP,
    WALL,
    World,
    asked,
    fit_now,
    job_of,
    route_steps,
)
from .temptations import EDITS, READINGS, good, may_be, poor

HURRIES = (1.0, 20.0, 100.0)


class Shop(RuleBasedStateMachine):
    """A builder who may do anything, also by hand in the files."""

    def __init__(self) -> None:
        super().__init__()
        self.book = Book()
        self.rows: list[Signing] = []
        self.clock = START
        self.known: tuple[World, tuple[Signing, ...], Progress] | None = None
        self.tempted: Progress | None = None

    @initialize(hands=st.integers(0, 9))
    def begin(self, hands: int) -> None:
        self.work_on(hands, 20.0)

    @property
    def world(self) -> World:
        return self.book.world

    @world.setter
    def world(self, world: World) -> None:
        self.book.world = world

    @property
    def progress(self) -> Progress:
        rows = tuple(self.rows)
        if self.known is None or self.known[0] is not self.world or self.known[1] != rows:
            self.known = (self.world, rows, self._followed(rows))
        return self.known[2]

    def _followed(self, rows: tuple[Signing, ...]) -> Progress:
        route = route_from(route_steps(self.world), self.world.changes)
        lost = {name: f"photo {name} is lost" for name in self.world.lost}
        return progress_of(route, replace(job_of(self.world), signings=rows), lost)

    def now(self) -> list[str]:
        """What can be done now, by the book; in the order in which it was first thought of."""
        order = {key: place for place, key in enumerate(KEYS)}
        return sorted(self.book.now(), key=lambda key: order.get(key, 9))

    def _try(self, key: str, given: Given, by: str, when: dt.datetime) -> Signing | None:
        """The row of a signature: there is one if, and only if, the book has nothing against it. It is not kept yet."""
        against = self.book.refusals(key, given, by, when)
        try:
            row: Signing | None = sign(self.progress, key, given, by=by, when=when)
        except BlockwrightError as refused:
            codes, row = sorted(problem.code for problem in refused.problems), None
        else:
            codes = []
        assert codes == against, f"{key}, by '{by}', with {given}"
        if row is None:
            return None
        assert (row.number, row.event, row.step, row.by) == (len(self.rows) + 1, Signed.SIGNED, key, by.strip())
        assert (row.given, row.when) == (given, when)
        return row

    def _try_to_undo(self, key: str, by: str, when: dt.datetime, why: str) -> Signing | None:
        """The row of an undoing, in the same way."""
        against = self.book.undo_refusals(key, by, when, why)
        try:
            row: Signing | None = undo(self.progress, key, by=by, when=when, why=why)
        except BlockwrightError as refused:
            codes, row = sorted(problem.code for problem in refused.problems), None
        else:
            codes = []
        assert codes == against, key
        return row

    def _sign(self, key: str, given: Given, by: str = "R. Quill", wait_s: float = 1.0) -> bool:
        when = self.clock + dt.timedelta(seconds=wait_s)
        row = self._try(key, given, by, when) if key in self.book.route() else None
        if row is None:
            return False
        self.clock = max(self.clock, when)
        self.rows.append(row)
        self.book.entries.append(Entry(key, True, row.by, when, given, seen=seen_now(self.world, key)))
        return True

    # Good work.

    @rule(hands=st.integers(1, 9), wait_s=st.sampled_from(HURRIES))
    def work_on(self, hands: int, wait_s: float) -> None:
        """Sign what can be done, one after the other, as long as it goes."""
        for _ in range(hands):
            if not any(self._sign(key, good(self.world, key), wait_s=wait_s) for key in self.now()):
                return

    @rule(hands=st.integers(1, 9), wait_s=st.sampled_from(HURRIES))
    def put_right_and_work_on(self, hands: int, wait_s: float) -> None:
        """Everything is as it was at first, but for the route; sealants that stood are put on anew."""
        self.world = World(changes=self.world.changes)
        if BEAD in self.book.done() and SUMP not in self.book.done():
            self.undo_it(BEAD, "R. Quill", "set", 1.0)
        self.work_on(hands, wait_s)

    # What must not be, and what must not be lost.

    @rule(
        key=st.sampled_from((*KEYS, "mine")),
        by=st.sampled_from((*QUILL, *MARSH, " ")),
        back_s=st.sampled_from((0.0, 3600.0)),
    )
    def sign_anything(self, key: str, by: str, back_s: float) -> None:
        self._sign(key, good(self.world, key), by, -back_s)

    @rule(
        stood_s=st.sampled_from((0.0, 1.0, 599.0, 600.0, 601.0, 660.0, 3600.0, -1.0)),
        fresh=st.booleans(),
        anyhow=st.booleans(),
    )
    def cover_the_sealant(self, stood_s: float, fresh: bool, anyhow: bool) -> None:
        """Work on to the moment at which only the sealant's clock decides, and let it run; refused, write the row by hand."""
        if fresh:
            self.put_right_and_work_on(9, 1.0)
            if SUMP in self.book.done():
                self.undo_it(BEAD, "R. Quill", "leaks", 1.0)
                self._sign(BEAD, Given())
        if SUMP in self.now():
            began = self.book.entries[self.book.last(BEAD)].when
            wait_s = (began - self.clock).total_seconds() + stood_s
            if not self._sign(SUMP, Given(), wait_s=wait_s) and anyhow:
                self.write_a_row_by_hand(SUMP, Given(), wait_s)

    @rule(
        key=st.sampled_from((*KEYS, "mine")), by=st.sampled_from(("R. Quill", "R. Quill", " ")), why=st.sampled_from(("a slip", "a slip", " ")),
        wait_s=st.sampled_from((1.0, 1.0, -60.0)),
    )  # fmt: skip
    def undo_it(self, key: str, by: str, why: str, wait_s: float) -> None:
        """Undo one step: it and all that stands on it are open, whatever is signed under them."""
        if key not in self.book.route():
            return
        when = self.clock + dt.timedelta(seconds=wait_s)
        row = self._try_to_undo(key, by, when, why)
        if row is None:
            return
        self.clock = max(self.clock, when)
        self.rows.append(row)
        self.book.entries.append(Entry(key, False, row.by, when, why=why))
        standing = {other for other in self.book.route() if key in self.book.before(other)}
        assert not [other for other in (key, *standing) if self.progress.states[other].done]

    # What changes under a signature.

    @rule(piston=st.sampled_from(("P1", "P2", "P3", "P4", "P5", "")))
    def swap_a_piston(self, piston: str) -> None:
        self.world = replace(self.world, piston=piston)

    @rule(rod=st.sampled_from(("C2", "C3", "")))
    def swap_a_rod(self, rod: str) -> None:
        self.world = replace(self.world, rod=rod)

    @rule(mark=st.sampled_from(("P2", "C2", "CU2", "CL2", "P4")))
    def put_in_another_of_the_same_mark(self, mark: str) -> None:
        self.world = replace(self.world, replaced=self.world.replaced ^ {mark})

    @rule(mark=st.sampled_from(READINGS), how=st.sampled_from(("withdrawn", "withdrawn", "altered", "gone", "noted")))
    def spoil_a_reading_or_take_that_back(self, mark: str, how: str) -> None:
        self.world = replace(self.world, **{how: getattr(self.world, how) ^ {mark}})

    @rule(low_m=st.sampled_from((None, 1.0e-4, 1.28e-4, 2.0e-4)))
    def limit_the_wall_clearance(self, low_m: float | None) -> None:
        self.world = replace(self.world, low_m=low_m, high_m=None if low_m is None else low_m + 1e-3)

    @rule(event=st.sampled_from((None, *Accepted)), out=st.booleans())
    def accept_the_fit_or_take_that_back(self, event: Accepted | None, out: bool) -> None:
        """Under a limit that it does not keep, or cannot be told to keep; or as it is."""
        if event is None:
            self.world = replace(self.world, accepted=())
            return
        if out:
            self.limit_the_wall_clearance(2.0e-4 if event is Accepted.CONCESSION else 1.28e-4)
        result = fit_now(self.world, WALL)
        if result.found:
            row = (event, WALL[0], str(WALL[1]), result.estimate.value)
            self.world = replace(self.world, accepted=(*self.world.accepted, row))

    @rule(off_m=st.sampled_from((0.0, 1e-7, 5e-6)))
    def correct_a_setting(self, off_m: float) -> None:
        """By a tenth of a micrometre: within the doubt of what was signed; by five: beyond it."""
        self.world = replace(self.world, setting_off_m=off_m)

    @rule(bolts=st.sampled_from((2, 4)), photos=st.sampled_from((1, 2)), side_held=st.booleans())
    def ask_for_more_or_less(self, bolts: int, photos: int, side_held: bool) -> None:
        self.world = replace(self.world, bolts=bolts, photos=photos, side_held=side_held)

    @rule(high_nm=st.sampled_from((28.0, None, 0.5)))
    def limit_the_turning_or_leave_it_without_a_limit(self, high_nm: float | None) -> None:
        self.world = replace(self.world, turning_high_nm=high_nm)

    @rule(name=st.sampled_from(("clip.jpg", "gap.jpg", "other.jpg")))
    def lose_a_photo_or_find_it(self, name: str) -> None:
        self.world = replace(self.world, lost=self.world.lost ^ {name})

    @rule(change=st.sampled_from(EDITS), others=st.sampled_from(("keep", "keep", "replace", "before it", "none")))
    def edit_the_route(self, change: StepChange, others: str) -> None:
        """Every edit is tried upon those that were made before; one of them is kept, if it may be."""
        for each in EDITS:
            may_be(self.world, (*self.world.changes, each))
        kept = tuple(each for each in self.world.changes if each.key != change.key)
        changes = {
            "keep": (*kept, change), "replace": (*self.world.changes, change), "before it": (change, *kept), "none": (change,),
        }[others]  # fmt: skip
        if may_be(self.world, changes):
            self.world = replace(self.world, changes=changes)

    @rule()
    def take_the_edits_back(self) -> None:
        self.world = replace(self.world, changes=())

    # What somebody writes into the files by hand.

    @rule(
        key=st.sampled_from((*KEYS, "mine")),
        given=st.sampled_from((Given(), None)),
        wait_s=st.sampled_from((1.0, -300.0, 700.0)),
    )
    def write_a_row_by_hand(self, key: str, given: Given | None, wait_s: float) -> None:
        """A signature that nobody asked the program for, at any time, and that does not say what it leans on."""
        when = self.clock + dt.timedelta(seconds=wait_s)
        told = good(self.world, key) if given is None else given
        self.clock = max(self.clock, when)
        self.rows.append(Signing(len(self.rows) + 1, Signed.SIGNED, key, "R. Quill", when, told))
        self.book.entries.append(Entry(key, True, "R. Quill", when, told))

    @precondition(lambda self: self.rows)
    @rule(data=st.data(), what=st.sampled_from(("given", "given", "by", "when")))
    def write_over_a_row(self, data: st.DataObject, what: str) -> None:
        """A photo, a count, a name or a time that is no longer what it was."""
        listed = [place for place, row in enumerate(self.rows) if row.event is Signed.SIGNED]
        telling = [place for place in listed if what != "given" or poor(self.world, self.rows[place].step)]
        if not telling:
            return
        place = data.draw(st.sampled_from(telling))
        row = self.rows[place]
        if what == "given":
            change: object = data.draw(st.sampled_from([*poor(self.world, row.step), good(self.world, row.step)]))
        elif what == "by":
            change = data.draw(st.sampled_from((QUILL[1], MARSH[1])))
        else:
            change = row.when + dt.timedelta(seconds=data.draw(st.sampled_from((-700.0, 700.0))))
        self.rows[place] = replace(row, **{what: change})
        self.book.entries[place] = altered(self.book.entries[place], **{what: change})

    @precondition(lambda self: self.rows)
    @rule()
    def tear_the_last_row_out(self) -> None:
        self.rows.pop()
        self.book.entries.pop()

    # What must always hold.

    @invariant()
    def every_step_stands_where_the_book_says(self) -> None:
        done, states = self.book.done(), self.progress.states
        assert set(states) == self.book.route()
        for key, state in states.items():
            assert state.done == (key in done), f"{key}: {state.reopened}"
            assert set(state.waits_for) == self.book.needs(key) - done, key
            assert (state.state is State.NOW) == (key not in done and self.book.needs(key) <= done), key
        assert set(self.progress.strangers) == {entry.key for entry in self.book.entries} - set(states)

    @invariant()
    def what_must_be_refused_is_refused(self) -> None:
        """Each forbidden signature is tried, at every step and at every moment; none of these is kept, not even one that is right."""
        if self.tempted is self.progress:
            return
        self.tempted = self.progress
        soon = self.clock + dt.timedelta(seconds=1.0)
        ready = self.book.now()
        for key in self.book.route():
            self._try(key, good(self.world, key), "R. Quill", soon)
            self._try_to_undo(key, "R. Quill", soon, "a slip")
            if key in ready:
                self._tempt(key, good(self.world, key), soon)
        if SUMP in ready:
            self._tempt_late()

    def _tempt(self, key: str, whole: Given, soon: dt.datetime) -> None:
        """At a step that only waits for its signature: one thing missing, wrong or too many, by anybody's hand, at a wrong time."""
        for given in poor(self.world, key):
            self._try(key, given, "R. Quill", soon)
        for by, eyes in ((MARSH[1], MARSH[0]), (MARSH[0], QUILL[1]), (" ", MARSH[0]), (QUILL[2], MARSH[1])):
            self._try(key, replace(whole, eyes=eyes if whole.eyes else ""), by, soon)
        self._try(key, whole, "R. Quill", self.clock - dt.timedelta(seconds=3600.0))

    def _tempt_late(self) -> None:
        """Cover a sealant before it was laid, at once, at the last moment, and a second too late; the last also by hand, unasked."""
        began = self.book.entries[self.book.last(BEAD)].when
        for stood_s in (-1.0, 0.0, OPEN_TIME_S, OPEN_TIME_S + 1.0):
            self._try(SUMP, Given(), "R. Quill", began + dt.timedelta(seconds=stood_s))
        late = Signing(
            len(self.rows) + 1, Signed.SIGNED, SUMP, "R. Quill", began + dt.timedelta(seconds=OPEN_TIME_S + 1.0)
        )
        assert not self._followed((*self.rows, late)).states[SUMP].done

    @invariant()
    def no_hold_point_is_passed_over(self) -> None:
        """A step that is done has every step before it done, signed before it, its own fits inside or accepted, and it is the last word on it."""
        for key, state in self.progress.states.items():
            mine = self.book.last(key)
            if state.done:
                assert state.signing == self.rows[mine]
                fits = asked(self.world, key).fits
                assert all(fit_does(self.world, at) or looked_at(self.world, at, self.rows[mine].given) for at in fits)
                for other in self.book.before(key):
                    assert self.progress.states[other].done, f"{key} is done and {other} is not"
                    assert 0 <= self.book.last(other) < mine, f"{other} was signed after {key}"

    @invariant()
    def the_order_holds(self) -> None:
        seen: set[str] = set()
        for step in self.progress.route.steps:
            assert self.book.needs(step.key) <= seen, step.key
            seen.add(step.key)

    @invariant()
    def what_is_open_again_says_why(self) -> None:
        done = self.book.done()
        for key, state in self.progress.states.items():
            assert bool(state.reopened) == (self.book.last(key) >= 0 and key not in done), key
            if not state.reopened:
                continue
            entry, told = self.book.entries[self.book.last(key)], "; ".join(state.reopened)
            if not entry.signed:
                assert f"undone by {entry.by}" in told
                continue
            for words in (*self.book.spoilt(key, entry), *(f"'{other}'" for other in self.book.needs(key) - done)):
                assert words in told, (key, told)

    @invariant()
    def last_chances_and_clocks_are_shown(self) -> None:
        ends = self.book.sets_at()
        chances = [(each.step.key, (each.result.fit.name, each.result.position)) for each in self.progress.last_chances]
        assert set(chances) == self.book.last_chances()
        assert len(set(chances)) == len(chances)
        clocks = [(clock.step.key, clock.ends, clock.waiting) for clock in self.progress.clocks]
        assert clocks == ([] if ends is None else [(BEAD, ends, (SUMP,))])

    @rule(first=st.sampled_from(KEYS), last=st.sampled_from(KEYS))
    def ask_whether_a_step_can_go_there(self, first: str, last: str) -> None:
        if {first, last} <= self.book.route():
            route, against = self.progress.route, first == last or last in self.book.before(first)
            assert (why_not(route, last, after=first) is not None) == against
            assert (why_not(route, first, before=last) is not None) == against


class LongShop(Shop):
    """The same, for longer."""


MANY = settings.default.max_examples
Shop.TestCase.settings = settings(max_examples=MANY // 2, stateful_step_count=20)
LongShop.TestCase.settings = settings(max_examples=3 * MANY // 2, stateful_step_count=30)
TestShop = Shop.TestCase
TestLongShop = pytest.mark.slow(LongShop.TestCase)
