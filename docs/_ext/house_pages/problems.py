"""The page of problems: every code with its words, by what it is about."""

from __future__ import annotations

from collections import defaultdict

from house_pages.markdown import plain, sentence, table
from house_pages.told import BLANK, Said, every_problem

DEPENDS = "It depends on the case, and is said with it."
SECTIONS = (
    ("file disk picture", "The file itself", "A file of the job is not there, or cannot be read as text."),
    ("folder demo new", "Folders", ""),
    (
        "toml format",
        "`job.toml` and `gauges.toml`: how they are written",
        "Text stands in double quotes, and so do numbers with their units.",
    ),
    (
        "table",
        "Tables: how they are written",
        "The tables may be saved from a spreadsheet as CSV, with commas, semicolons or tabs.",
    ),
    (
        "quantity unit",
        "Numbers and units",
        "Nothing is guessed: a number without a unit is refused, and so is a word that means two things, such as mil.",
    ),
    ("engine duty temperatures", "The engine and its work", ""),
    ("part assigned shells alloy order match", "Parts and where they go", ""),
    ("fit limit only", "Fits and limits", ""),
    ("gauge setting measures", "Gauges and settings", ""),
    (
        "reading feature at spot state blade interval inherit date depth temperature value",
        "Readings",
        "Nothing is taken from a row that has a fault; the rest of the file is read all the same.",
    ),
    ("pass ring rings clock clocking grinder filing", "Filing", ""),
    ("record accept", "Signing", ""),
    ("route step sign signing undo", "The route", "A step is signed when its evidence is there, and not before."),
    ("study", "Gauge studies", ""),
    ("reckon", "Formulas", ""),
    ("more", "Other", ""),
)


def listing(words: str) -> str:
    """Every problem that stops the work, by what it is about."""
    found = [said for said in every_problem() if said.by == "Problem"]
    sections = [
        (title, lead, [said for said in found if section_of(said.code) == title]) for _, title, lead in SECTIONS
    ]
    return "\n".join(f"## {title}\n\n{lead}\n\n{_table(said)}" for title, lead, said in sections if said)


def noticed(words: str) -> str:
    """Everything that is noticed about readings and stops nothing."""
    return _table([said for said in every_problem() if said.by == "Flag"])


def section_of(code: str) -> str:
    """The section in which a code is told; the last one where it belongs to none."""
    first = code.split("-")[0]
    return next((title for firsts, title, _ in SECTIONS if first in firsts.split()), SECTIONS[-1][1])


def _table(found: list[Said]) -> str:
    wordings: defaultdict[str, dict[tuple[str, str], None]] = defaultdict(dict)
    for said in found:
        wordings[said.code][(said.what, said.mend)] = None
    rows = [
        (f"`{code}`" if nth == 0 else "", plain(sentence(what)), plain(sentence(mend)) if mend != BLANK else DEPENDS)
        for code, told in wordings.items()
        for nth, (what, mend) in enumerate(told)
    ]
    return table(("code", "what is wrong", "what mends it"), rows, "stacks")


MAKERS = {"problems": listing, "noticed": noticed}
