"""Endpoints: readings, what is still to take, gauges with their settings, parts."""

from __future__ import annotations

from typing import Any, Literal

from django.http import HttpRequest
from ninja import Field, Query, Router, Schema

from blockwright.bench.api.answering import Paging, book_of, marked, part_of
from blockwright.bench.api.engines import UNCHANGED
from blockwright.bench.api.shapes import GaugeTold, Page, PartTold, ReadingTold, SettingTold, StationToTake, page_of
from blockwright.bench.api.telling import (
    gauge_told,
    part_told,
    reading_told,
    setting_told,
    standing_of,
    station_told,
)
from blockwright.choices.stations import stations as stations_of
from blockwright.engine.job import Job
from blockwright.ledger.store import LedgerStore

router = Router(tags=["measured"])


class Which(Paging):
    """Which readings."""

    part: str = Field("", max_length=80, description="Mark of a part; every one where not given.")
    feature: str = Field("", max_length=80, description="bore, skirt, main journal, ...; every one where not given.")
    standing: Literal["", "taken", "waits", "withdrawn"] = Field("", description="Every one where not given.")


class Every(Schema):
    """Whether done ones are wanted, too."""

    every: bool = Field(False, description="Stations at which nothing waits, too.")


@router.get(
    "/engines/{engine}/readings",
    response={200: Page[ReadingTold], **UNCHANGED},
    summary="Readings, taken, waiting and withdrawn",
)
def readings(request: HttpRequest, engine: str, which: Query[Which]) -> Any:
    """In the order of the readings file."""
    rows = [
        row
        for row in _job(request, engine).readings
        if which.part in ("", row.part)
        and which.feature in ("", row.feature)
        and which.standing in ("", standing_of(row))
    ]
    part = part_of(request, rows, which)
    return {**part, "items": [reading_told(row) for row in part["items"]]}


@router.get(
    "/engines/{engine}/stations",
    response={200: list[StationToTake], **UNCHANGED},
    summary="Stations and spots that are still to take",
)
def stations(request: HttpRequest, engine: str, words: Query[Every]) -> Any:
    """In the order of measuring. A reading sent as an act names one of a spot's `empty` rows as its `row`."""
    told = [station_told(each) for each in stations_of(_job(request, engine))]
    return told if words.every else [each for each in told if each.waiting]


@router.get(
    "/engines/{engine}/gauges", response={200: page_of(GaugeTold), **UNCHANGED}, summary="The register of gauges"
)
def gauges(request: HttpRequest, engine: str, paging: Query[Paging]) -> Any:
    """What each is worth, and when its certificate runs out."""
    part = part_of(request, _job(request, engine).gauge_sheet.gauge, paging)
    return {**part, "items": [gauge_told(each) for each in part["items"]]}


@router.get(
    "/engines/{engine}/settings",
    response={200: page_of(SettingTold), **UNCHANGED},
    summary="What the comparators were set on",
)
def settings(request: HttpRequest, engine: str, paging: Query[Paging]) -> Any:
    """Readings on one setting share its error."""
    part = part_of(request, _job(request, engine).gauge_sheet.setting, paging)
    return {**part, "items": [setting_told(each) for each in part["items"]]}


@router.get(
    "/engines/{engine}/parts", response={200: page_of(PartTold), **UNCHANGED}, summary="Parts, and where each is"
)
def parts(request: HttpRequest, engine: str, paging: Query[Paging]) -> Any:
    """By their marks, in the order in which they were entered."""
    job = _job(request, engine)
    part = part_of(request, job.sheet.part, paging)
    return {**part, "items": [part_told(job, each) for each in part["items"]]}


def _job(request: HttpRequest, engine: str) -> Job:
    book = book_of(request, engine)
    marked(request, book)
    return LedgerStore(book).kept().job
