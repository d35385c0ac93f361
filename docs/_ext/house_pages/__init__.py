"""Pages, or parts of pages, that are made from the program itself, so that they cannot say something else than it does.

A line `<!-- made: NAME WORD ... -->` on a page is replaced by the Markdown that `MAKERS[NAME]` gives for the words.

| module | responsibility |
| --- | --- |
| `fits` | the fit reference, from the registry |
| `at_work` | what the engine at work rests on |
| `formulas` | the list of formulas |
| `records` | the job folder's keys and columns, from the declared records |
| `problems` | the page of problems |
| `told` | every problem that the program tells, found in its source |
| `published` | what the published checks say, by running them |
| `worked` | the numbers and pictures of the page on uncertainty |
| `samples` | the engines that examples are worked for |
| `markdown` | pieces of Markdown |
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from house_pages import at_work, fits, formulas, problems, published, records, worked

if TYPE_CHECKING:
    from sphinx.application import Sphinx
    from sphinx.environment import BuildEnvironment

ROOT = Path(__file__).resolve().parents[3]
MARKER = re.compile(r"^<!-- made: (\w+) ?(.*?) -->$", re.MULTILINE)
LINK_INTO_THE_HOUSE = re.compile(r"\[([^\]]*)\]\((?!https?:|#)[^)]*\)")


def architecture(words: str) -> str:
    """The page on how the program is built, where there is one; its links into the source lead nowhere from here."""
    page = ROOT / "ARCHITECTURE.md"
    if not page.exists():
        return "This page is still to be written."
    _, _, text = page.read_text(encoding="utf-8").partition("\n")
    return LINK_INTO_THE_HOUSE.sub(r"\1", text)


MAKERS: dict[str, Callable[[str], str]] = {
    "architecture": architecture,
    **at_work.MAKERS,
    **fits.MAKERS,
    **formulas.MAKERS,
    **problems.MAKERS,
    **published.MAKERS,
    **records.MAKERS,
    **worked.MAKERS,
}


def filled(text: str) -> str:
    """A page's source with every marker replaced."""
    return MARKER.sub(lambda found: MAKERS[found[1]](found[2]), text)


def _fill(app: Sphinx, name: str, source: list[str]) -> None:
    source[0] = filled(source[0])


def _always_anew(app: Sphinx, env: BuildEnvironment, added: set[str], changed: set[str], gone: set[str]) -> list[str]:
    """Pages with a marker are read at every build: what they show may have changed though they did not."""
    return [name for name in env.found_docs if MARKER.search(Path(env.doc2path(name)).read_text(encoding="utf-8"))]


def setup(app: Sphinx) -> dict[str, bool]:
    """Join the build."""
    app.connect("source-read", _fill)
    app.connect("env-get-outdated", _always_anew)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
