"""The validation page: what `tests/published` compares with which source, by running it.

A failing check stops the build: a page that calls itself a validation is not made from checks that fail.
"""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from pathlib import Path

from house_pages.markdown import facts, first_large, plain, table

ROOT = Path(__file__).resolve().parents[3]
CHECKS = ROOT / "tests" / "published"
ELSEWHERE = {
    "Tippett": ("L. H. C. Tippett, Biometrika 17, 1925: the range of a normal sample", "the factors printed by AIAG"),
    "Duncan": (
        "A. J. Duncan, Quality Control and Industrial Statistics: means of ranges",
        "the factors printed by AIAG",
    ),
    "Montgomery": (
        "D. C. Montgomery, Design and Analysis of Experiments: random effects",
        "the analysis of variance printed by AIAG",
    ),
    "Timoshenko": (
        "S. P. Timoshenko, Strength of Materials, part II: curved bars",
        "a second route of our own, integrated along the beam",
    ),
    "ISO 14253-1": ("ISO 14253-1:2017: the names of the verdicts", "nothing, since no number is taken from it"),
}
"""By the name that the tests look for; whoever names a new source either checks it or says here what stands in for it."""

OPENING = re.compile(r"\n(?=[A-Z][a-z]+: )")
CODE = re.compile(r"(`[^`]*`)")


@dataclass(frozen=True)
class Check:
    """One function of a published module: its cases, how many numbers they compared, and the worst against its tolerance."""

    module: str
    name: str
    cases: int
    passed: int
    compared: int
    worst: float


@cache
def checks() -> tuple[Check, ...]:
    """Every published check, run now."""
    with tempfile.TemporaryDirectory() as folder:
        seen = Path(folder) / "seen.json"
        asked = [sys.executable, "-m", "pytest", str(CHECKS), "-q", "-p", "no:cacheprovider", "-p", "watch_published"]
        around = {"PYTHONPATH": str(Path(__file__).parents[1]), "PUBLISHED_SEEN": str(seen)}
        done = subprocess.run(asked, cwd=ROOT, env=os.environ | around, capture_output=True, text=True, check=False)
        if done.returncode:
            raise RuntimeError(f"the published checks do not pass:\n{done.stdout}{done.stderr}")
        found = json.loads(seen.read_text(encoding="utf-8"))
    by_function = groupby(found.items(), key=lambda item: item[0].partition("[")[0])
    return tuple(_check(node, [result for _, result in cases]) for node, cases in by_function)


def _check(node: str, results: list[dict[str, object]]) -> Check:
    file, _, name = node.partition("::")
    return Check(
        Path(file).stem,
        name.rpartition("::")[2].removeprefix("test_"),
        len(results),
        sum(result["outcome"] == "passed" for result in results),
        sum(int(str(result["compared"])) for result in results),
        max(float(str(result["worst"])) for result in results),
    )


def summary(words: str) -> str:
    """All sources in one table."""
    rows = []
    for module in modules():
        mine = [check for check in checks() if check.module == module.stem]
        title = heading(module)
        rows.append((f"[{plain(title)}](#{anchor(title)})", *_counts(mine)))
    return table(("source", "checks passed", "numbers compared", "worst"), rows, "counts")


def stories(words: str) -> str:
    """Each source with its own words and its checks."""
    return "\n\n".join(_story(module) for module in modules())


def modules() -> list[Path]:
    """The published modules, by name."""
    return sorted(CHECKS.glob("test_*.py"))


def docstring(module: Path) -> str:
    """The header of a module, with its source."""
    return ast.get_docstring(ast.parse(module.read_text(encoding="utf-8"))) or ""


def heading(module: Path) -> str:
    """The first sentence of a header, without its stop and without what stands behind a colon."""
    first = docstring(module).partition("\n\n")[0].replace("\n", " ")
    return first.rstrip(".") if len(first) < 90 else first.partition(":")[0]


def anchor(title: str) -> str:
    """The anchor that a heading gets."""
    return re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-")


def _counts(found: list[Check]) -> tuple[str, str, str]:
    cases, passed = sum(check.cases for check in found), sum(check.passed for check in found)
    compared = sum(check.compared for check in found)
    worst = max((check.worst for check in found), default=0.0)
    return f"{passed} of {cases}", str(compared or "–"), _worst(compared, worst)


def _worst(compared: int, worst: float) -> str:
    if not compared:
        return "–"
    return "under 1\N{NO-BREAK SPACE}%" if 0.0 < worst < 0.01 else f"{100 * worst:.0f}\N{NO-BREAK SPACE}%"


def _story(module: Path) -> str:
    """A source under its own heading: what the header says, then its checks."""
    title, text = heading(module), docstring(module)
    rest = text.partition("\n\n")[2] if title == text.partition("\n\n")[0].replace("\n", " ").rstrip(".") else text
    mine = [check for check in checks() if check.module == module.stem]
    rows = [(plain(first_large(check.name.replace("_", " "))), *_counts([check])) for check in mine]
    done = table(("what is checked", "passed", "numbers", "worst"), rows, "counts")
    return f"## {plain(title)}\n\n{_paragraphs(rest)}\n\n{done}"


def _paragraphs(text: str) -> str:
    """The header's paragraphs as running text, one for each word that a line begins with; tables of symbols as they stand."""
    parts = (part for each in text.split("\n\n") for part in OPENING.split(each))
    return "\n\n".join(_paragraph(part) for part in parts)


def _paragraph(text: str) -> str:
    if text.lstrip().startswith("|"):
        return f"```text\n{text}\n```"
    word, colon, rest = text.replace("\n", " ").partition(":")
    lead = f"**{plain(word)}:**" if colon and len(word) < 30 else plain(word + colon)
    return lead + "".join(each if each.startswith("`") else plain(each) for each in CODE.split(rest))


def elsewhere(words: str) -> str:
    """Sources that are named for a formula and held against figures printed by somebody else."""
    return facts((name, plain(f"{what}. Held against: {against}.")) for name, (what, against) in ELSEWHERE.items())


MAKERS = {"elsewhere": elsewhere, "validation_table": summary, "validations": stories}
