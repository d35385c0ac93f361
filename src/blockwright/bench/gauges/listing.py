"""Every gauge with its sense, its certificate and when it runs out, its settings, and who used it; the overdue first."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from blockwright.bench.links import link
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone
from blockwright.engine.job import Job
from blockwright.ledger.models import Book
from blockwright.metrology.gauges import Gauge, Sense
from blockwright.report.sheet.shop_part import GaugeLine, SettingLine
from blockwright.report.sheet.shop_part import gauges as gauge_lines
from blockwright.report.sheet.shop_part import settings as setting_lines

SOON = dt.timedelta(days=30)
SENSES = {
    Sense.SIZE: "shows the size itself",
    Sense.DEVIATION: "shows the deviation from a setting",
    Sense.BACKWARDS: "shows the deviation backwards: the needle falls as the size grows",
    Sense.BLADES: "blades: one goes, the next does not",
}


@dataclass(frozen=True)
class GaugeTold:
    """One gauge. `tone` is that of its due day; `due` says it in words."""

    line: GaugeLine
    sense: str
    resolution: str
    takes: str
    tone: Tone
    due: str
    readers: str
    settings: tuple[SettingLine, ...]
    compares: bool
    again: str


def listing(book: Book, job: Job, today: dt.date) -> dict[str, Any]:
    """The context of the register."""
    readers, settings = _readers(job), _settings(job)
    told = [
        _told(book, gauge, line, readers, settings, today)
        for gauge, line in zip(job.gauge_sheet.gauge, gauge_lines(job), strict=True)
    ]
    order = list(Tone)
    return {
        "gauges": sorted(told, key=lambda each: order.index(each.tone)),
        "say": say(told),
        "loose": _loose(job, settings),
    }


def say(told: list[GaugeTold]) -> Say:
    """What matters now: what is overdue, else what runs out soon."""
    overdue = [each.line.mark for each in told if each.tone is Tone.OUT]
    soon = [each.line.mark for each in told if each.tone is Tone.DOUBT]
    if not told:
        return Say(
            Tone.PLAIN,
            "No gauge is registered yet.",
            "Readings need one: enter it with its certificate.",
            "#register",
            "Register a gauge",
        )
    if overdue:
        verb = "is" if len(overdue) == 1 else "are"
        return Say(
            Tone.OUT,
            f"{', '.join(overdue)} {verb} overdue.",
            "Have the certificate renewed before it is read again.",
            "#register",
            "Register a gauge",
        )
    if soon:
        verb = "runs" if len(soon) == 1 else "run"
        return Say(
            Tone.DOUBT,
            f"{', '.join(soon)} {verb} out within a month.",
            "Every other certificate is good.",
            "#register",
            "Register a gauge",
        )
    return Say(
        Tone.GOOD, "No certificate is overdue.", f"{len(told)} gauges are registered.", "#register", "Register a gauge"
    )


def due_words(due: dt.date | None, today: dt.date) -> tuple[Tone, str]:
    """When a certificate runs out, in words, and the tone of that."""
    if due is None:
        return Tone.PLAIN, "no date is given"
    if due < today:
        return Tone.OUT, f"overdue since {due}"
    return (Tone.DOUBT, f"due {due}, within a month") if due - today <= SOON else (Tone.GOOD, f"good until {due}")


def _told(
    book: Book, gauge: Gauge, line: GaugeLine, readers: Mapping[str, str], settings: Mapping[str, tuple[SettingLine, ...]], today: dt.date
) -> GaugeTold:  # fmt: skip
    tone, due = due_words(gauge.due, today)
    low, high = (gauge.as_typed("low", gauge.low_si), gauge.as_typed("high", gauge.high_si))
    takes = f"{low} to {high}" if low and high else f"from {low}" if low else f"up to {high}" if high else ""
    again = f"{link('gauges', book=book.slug)}?again={gauge.id}#register"
    return GaugeTold(
        line, SENSES[gauge.sense], gauge.as_typed("resolution", gauge.resolution_si), takes, tone, due, readers.get(gauge.id, ""),
        settings.get(gauge.id, ()), gauge.sense.compares, again,
    )  # fmt: skip


def _readers(job: Job) -> dict[str, str]:
    """Who read each gauge, the most readings first: `A. Hand 34, B. Hand 2`."""
    counted: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for reading in (*job.readings, *(each.reading for each in job.passes)):
        if reading.taken:
            counted[reading.gauge][reading.by or "nobody named"] += 1
    return {mark: ", ".join(f"{by} {count}" for by, count in counts.most_common()) for mark, counts in counted.items()}


def _settings(job: Job) -> dict[str, tuple[SettingLine, ...]]:
    held: defaultdict[str, list[SettingLine]] = defaultdict(list)
    for line in setting_lines(job):
        held[line.gauge].append(line)
    return {mark: tuple(lines) for mark, lines in held.items()}


def _loose(job: Job, settings: Mapping[str, tuple[SettingLine, ...]]) -> list[SettingLine]:
    """Settings of gauges that are not in the register."""
    return [line for mark, lines in settings.items() if mark not in job.gauges for line in lines]
