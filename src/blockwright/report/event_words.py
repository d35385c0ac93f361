"""An act on record in plain words: what was done, to which parts, and what it strikes. One form for pages, terminal and API."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from blockwright.acts.event import Body, Event

FILES_IN_WORDS = {
    "job.toml": "the job", "gauges.toml": "its gauges", "readings.csv": "readings", "passes.csv": "passes at the grinder",
    "record.csv": "signatures", "route.csv": "the route",
}  # fmt: skip


@dataclass(frozen=True)
class Said:
    """`what` in a few words, `why` where a reason was given; `parts` by their marks; `row` the reading or entry it is about."""

    what: str
    why: str = ""
    parts: tuple[str, ...] = ()
    row: str = ""
    note: str = ""


@dataclass(frozen=True)
class Told:
    """An event in words. `struck`: what it did was withdrawn or undone by event `struck_by`."""

    event: Event
    said: Said
    struck_by: int = 0

    @property
    def struck(self) -> bool:
        """Whether it was withdrawn or undone later."""
        return self.struck_by > 0


def said(event: Event) -> Said:
    """An event in plain words; of a kind that is not known here, its name."""
    words = WORDS.get(event.kind)
    return words(event.body) if words else Said(event.kind)


def told(events: Iterable[Event]) -> tuple[Told, ...]:
    """Events in words, those that were withdrawn or undone struck."""
    listed = tuple(events)
    struck: dict[int, int] = {}
    latest: dict[tuple[str, str], int] = {}
    for event in listed:
        done = DONE.get(event.kind)
        if done:
            latest[(done[0], done[1](event.body))] = event.number
        undone = UNDONE.get(event.kind)
        number = latest.pop((undone[0], undone[1](event.body)), 0) if undone else 0
        if number:
            struck[number] = event.number
    return tuple(Told(event, said(event), struck.get(event.number, 0)) for event in listed)


def _cells(body: Body) -> Mapping[str, str]:
    cells: Mapping[str, str] = body.get("cells", {})
    return cells


def _taken(body: Body) -> Said:
    cells = _cells(body)
    where = ", ".join(text for text in (cells.get("at", ""), cells.get("spot", "")) if text)
    value = f"{cells.get('value', '')} {cells.get('unit', '')}".strip()
    gauge = f" by {cells['gauge']}" if cells.get("gauge") else ""
    setting = f" on {cells['setting']}" if cells.get("setting") else ""
    what = f"Read {cells.get('feature', '')} of {cells.get('part', '')}{f' at {where}' if where else ''}: {value}{gauge}{setting}"
    return Said(what, parts=_marks(cells.get("part")), row=body["row"], note=cells.get("note", ""))


def _state(body: Body) -> Said:
    cells = ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in _cells(body).items() if value)
    count = len(body["rows"])
    return Said(f"Said of {count} planned reading{'' if count == 1 else 's'}: {cells or 'nothing'}")


def _filed(body: Body) -> Said:
    cells = _cells(body)
    ring = f"the {cells.get('ring', '')} ring of {cells.get('rings', '')} in {cells.get('at', '')}"
    taken = f"{cells.get('taken', '')} {cells.get('counted_in', '')}".strip()
    return Said(
        f"Filed {ring}: {taken}", parts=_marks(cells.get("rings")), row=cells.get("id", ""), note=cells.get("note", "")
    )


def _gap(body: Body) -> Said:
    cells = _cells(body)
    value = f"{cells.get('gap', '')} {cells.get('unit', '')}".strip()
    what = f"Read the gap of the {cells.get('ring', '')} ring of {cells.get('rings', '')} in {cells.get('at', '')}: {value}"
    return Said(what, parts=_marks(cells.get("rings")), row=cells.get("id", ""), note=cells.get("note", ""))


def _part(body: Body) -> Said:
    table = body["part"]
    lead = "Entered again what is known of" if body.get("again") else "Registered"
    return Said(f"{lead} {table.get('kind', 'part')} {table.get('mark', '')}", parts=_marks(table.get("mark")))


def _assigned(body: Body) -> Said:
    marks = tuple(body["parts"])
    role = "ring set" if body["as"] == "rings" else body["as"]
    what = f"Put {' and '.join(marks)} into {body['at']} as {role}" if marks else f"Took the {role} out of {body['at']}"
    other = body.get("in_return")
    if not other:
        return Said(what, parts=marks)
    there = tuple(other["parts"])
    return Said(f"{what}, and {' and '.join(there) or 'nothing'} into {other['at']} in return", parts=(*marks, *there))


def _signed_for(body: Body) -> Said:
    cells = _cells(body)
    return Said(
        f"Signed for {cells.get('fit', '')}, {cells.get('at', '')}, at {cells.get('value', '')}",
        why=cells.get("why", ""),
    )


def _limit(body: Body) -> Said:
    table = body["limit"]
    place = f", {table['at']}" if table.get("at") else ""
    sides = ", ".join(f"{name} {table[name]}" for name in ("low", "aim", "high") if table.get(name))
    lead = "Struck out a limit" if body.get("struck") else "Set a limit"
    source = f" ({table['source']})" if table.get("source") else ""
    what = f"{lead} of {table.get('fit', '')}{place} by {table.get('authority', '')}{source}{f': {sides}' if sides else ''}"
    return Said(what, why=table.get("why", ""))


def _gauge(body: Body) -> Said:
    table = body["gauge"]
    name = f", {table['name']}" if table.get("name") else ""
    due = f", due {table['due']}" if table.get("due") else ""
    return Said(f"{'Entered again' if body.get('again') else 'Registered'} gauge {table.get('id', '')}{name}{due}")


def _setting(body: Body) -> Said:
    table = body["setting"]
    warm = f" at {str(table['master_temp']).removesuffix(' °C')} °C" if table.get("master_temp") else ""
    return Said(
        f"Set {table.get('gauge', '')} to {table.get('size', '')} on {table.get('master', '')}{warm}: setting {table.get('id', '')}"
    )


def _step(lead: str) -> Callable[[Body], Said]:
    def words(body: Body) -> Said:
        cells = _cells(body)
        return Said(f"{lead} step {cells.get('step', '').replace('-', ' ')}", note=cells.get("note", ""))

    return words


def _photo(body: Body) -> Said:
    of = ", ".join(str(body[name]) for name in ("part", "feature", "at", "spot", "step") if body.get(name))
    return Said(f"Kept a photo of {of}", parts=_marks(body.get("part")), note=body.get("note", ""))


def _sheet(body: Body) -> Said:
    values = body["values"]
    if body["table"] == "order":
        return Said(f"Changed the work ordered: {len(values)} order{'' if len(values) == 1 else 's'} now")
    changed = (
        ", ".join(str(name).replace("_", " ") for name in values)
        if isinstance(values, Mapping)
        else f"{len(values)} now"
    )
    return Said(f"Changed what is said of {body['table']}: {changed}")


def _brought(body: Body) -> Said:
    names = [FILES_IN_WORDS.get(name, name) for name in body["texts"]]
    return Said(f"Brought in the files of a job: {', '.join(names)}")


def _withdrawn(what: str, key: str) -> Callable[[Body], Said]:
    return lambda body: Said(f"Withdrew {what} {body[key]}", why=body.get("why", ""), row=body[key])


def _marks(mark: Any) -> tuple[str, ...]:
    return (str(mark),) if mark else ()


WORDS: Mapping[str, Callable[[Body], Said]] = {
    "reading taken": _taken, "reading withdrawn": _withdrawn("reading", "row"), "state set": _state,
    "part registered": _part, "part assigned": _assigned,
    "pass filed": _filed, "gap read": _gap, "pass withdrawn": _withdrawn("entry", "pass"),
    "wheel put on": lambda body: Said(f"Put wheel {body['wheel']} on the ring grinder"),
    "step signed": _step("Signed"), "step undone": _step("Undid"),
    "concession": _signed_for, "judgement": _signed_for, "limit set": _limit, "gauge registered": _gauge, "setting made": _setting,
    "photo attached": _photo, "sheet changed": _sheet, "folder brought in": _brought,
}  # fmt: skip
DONE: Mapping[str, tuple[str, Callable[[Body], str]]] = {
    "reading taken": ("row", lambda body: body["row"]),
    "pass filed": ("pass", lambda body: _cells(body).get("id", "")),
    "gap read": ("pass", lambda body: _cells(body).get("id", "")),
    "step signed": ("step", lambda body: _cells(body).get("step", "")),
}  # fmt: skip
"""What can be struck later, and by what it is called then."""
UNDONE: Mapping[str, tuple[str, Callable[[Body], str]]] = {
    "reading withdrawn": ("row", lambda body: body["row"]),
    "pass withdrawn": ("pass", lambda body: body["pass"]),
    "step undone": ("step", lambda body: _cells(body).get("step", "")),
}  # fmt: skip
