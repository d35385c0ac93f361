"""Concessions, judgements and steps of the route, and photos: signed once, sealed to the one before."""

import datetime as dt

from blockwright.acts.kinds.signatures import acceptance
from blockwright.engine.rules import Accepted
from blockwright.engine.steps import Signed
from blockwright.jobfile.record_csv import seal

PHOTO = "0123456789abcdef.jpg"


def test_a_fit_that_is_out_is_signed_for_as_a_concession(bench):
    asked = {"fit": "wall clearance", "at": "cylinder 3"}
    assert acceptance(bench.job, "wall clearance", "cylinder 3") is Accepted.CONCESSION
    assert bench.refused("judgement", **asked, why="x")[0].startswith("fit: wall clearance, cylinder 3: ")
    body = bench.act("concession", **asked, why="one season")
    record = bench.job.records[-1]
    assert (record.by, record.why, record.event) == ("Ann B.", "one season", Accepted.CONCESSION)
    assert record.digest == body["cells"]["digest"] == seal(record, bench.job.records[-2].digest)
    assert bench.refused("concession", **asked, why="again")[0].startswith(
        "fit: wall clearance, cylinder 3: already signed by Ann B."
    )


def test_a_fit_that_cannot_be_told_is_signed_for_as_a_judgement(bench):
    bench.act("judgement", fit="wall clearance", at="4", why="read five times")
    assert bench.job.records[-1].event is Accepted.JUDGEMENT


def test_what_is_not_signed_for(bench):
    assert bench.refused("concession", fit="wall", at="cylinder 3", why="x")[0].startswith(
        "fit: there is no fit 'wall'."
    )
    assert bench.refused("concession", fit="wall clearance", at="cylinder 8", why="x")[0].startswith(
        "at: wall clearance has no position"
    )
    assert bench.refused("concession", fit="wall clearance", at="cylinder 3") == [
        "why: an acceptance is signed, with a reason. Add --by 'name' --why 'reason'."
    ]
    assert bench.refused("concession", by=" ", fit="wall clearance", at="cylinder 3", why="x")[0].startswith(
        "why: an acceptance is signed"
    )


def test_a_step_is_signed_and_undone(bench):
    assert bench.refused("step signed", step="mock-up: parts", counts=["36"])[0].startswith(
        "counts: parts found and marked: 36 counted"
    )
    assert bench.refused("step signed", step="mock-up: parts", counts=["many"])[0].startswith(
        "counts: 'many' is no count."
    )
    assert bench.refused("step signed", step="nowhere")[0].startswith("step: the route has no step 'nowhere'.")
    zone = dt.timezone(dt.timedelta(hours=2))
    bench.act(
        "step signed", step="mock-up: parts", counts=["37"], when=dt.datetime(2026, 11, 3, 15, 4, 5, 678, tzinfo=zone)
    )
    signing = bench.job.signings[-1]
    assert (signing.event, signing.by, signing.given.counts) == (Signed.SIGNED, "Ann B.", (37,))
    assert signing.when == dt.datetime(2026, 11, 3, 15, 4, 5, tzinfo=zone)
    assert bench.refused("step undone", step="mock-up: parts", when=signing.when) == [
        "why: a step is undone for a reason. Say why."
    ]
    bench.act("step undone", step="mock-up: parts", why="one was missing", when=signing.when)
    assert bench.job.signings[-1].event is Signed.UNDONE
    assert bench.refused("step undone", step="mock-up: parts", why="x", when=signing.when)[0].startswith(
        "step: 'mock-up: parts' is not signed"
    )


def test_a_photo_is_called_by_its_digest(bench):
    before = bench.job
    assert bench.act("photo attached", photo=PHOTO, part="B1", feature="bore", name="bore.jpg")["name"] == "bore.jpg"
    assert bench.job == before
    assert bench.refused("photo attached", photo="bore.jpg", part="B1")[0].startswith("photo: 'bore.jpg' is no photo")
    assert bench.refused("photo attached", photo=PHOTO)[0].startswith("part: the photo is of nothing.")
    assert bench.refused("photo attached", photo=PHOTO, part="Z9")[0].startswith("part: no part bears the mark 'Z9'.")
    assert bench.refused("photo attached", photo=PHOTO, step="zzz")[0].startswith("step: the route has no step 'zzz'.")
    assert bench.refused("step signed", step="mock-up: parts", photos=["bore.jpg"])[0].startswith(
        "photos: photo 'bore.jpg' is not among"
    )
