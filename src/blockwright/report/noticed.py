"""What was noticed, as paragraphs: things of one kind are told once, with all that they are about."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from blockwright.fits.assessment import Assessment, FitResult, Flag
from blockwright.fits.words import runs

WORTH_TELLING = ("sign again", "tightened")
"""Notes of single fits that are told with the flags; the others stand in the fit's own story."""


def noticed(assessment: Assessment, without: Sequence[str] = ()) -> tuple[str, ...]:
    """Flags but those of the codes in `without`, then the notes of fits that matter here: a paragraph for each kind."""
    flags = (flag for flag in assessment.flags if flag.code not in without)
    return tuple(text[:1].upper() + text[1:] for text in (*_flags(flags), *_notes(assessment.results)))


def _flags(flags: Iterable[Flag]) -> list[str]:
    alike: defaultdict[tuple[str, ...], list[Flag]] = defaultdict(list)
    for flag in flags:
        alike[(flag.code, flag.several, flag.mend) if flag.several else (flag.code, flag.text, flag.mend)].append(flag)
    return [f"{_text(group)} {group[0].mend}" for group in alike.values()]


def _text(group: Sequence[Flag]) -> str:
    first = group[0]
    return first.text if len(group) == 1 else first.several.replace("{things}", runs([flag.thing for flag in group]), 1)


def _notes(results: Iterable[FitResult]) -> list[str]:
    where: defaultdict[tuple[str, str], list[str]] = defaultdict(list)
    for result in results:
        for note in (*result.notes, *(result.found.notes if result.found else ())):
            if any(words in note for words in WORTH_TELLING):
                where[(result.fit.name, note)].append(str(result.position))
    return [f"{fit}, {runs(positions)}: {note}." for (fit, note), positions in where.items()]
