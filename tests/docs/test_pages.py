"""What the pages are made of: nothing that the program has is missing from them, and every source is named and checked."""

import ast
import re
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

HOUSE = Path(__file__).resolve().parents[2]
DOCS = HOUSE / "docs"
SOURCE = HOUSE / "src" / "blockwright"
sys.path.insert(0, str(DOCS / "_ext"))

import house_pages  # noqa: E402 - it lies beside the pages
from house_pages import fits, published, records, samples, told, worked  # noqa: E402

from blockwright.fits.registry import REGISTRY  # noqa: E402


def pages() -> dict[str, str]:
    """The source of every page, by name."""
    found = (page for page in DOCS.rglob("*.md") if "_build" not in page.parts)
    return {page.relative_to(DOCS).as_posix(): page.read_text(encoding="utf-8") for page in found}


def test_every_marker_has_a_maker_and_every_maker_a_page() -> None:
    asked = {found[1] for text in pages().values() for found in house_pages.MARKER.finditer(text)}
    assert asked == set(house_pages.MAKERS)
    assert all("<!-- made:" in line for text in pages().values() for line in text.splitlines() if "made:" in line)


def test_numbers_in_the_text_are_those_that_are_worked_out() -> None:
    asked = {name for text in pages().values() for name in re.findall(r"\{\{ (\w+) \}\}", text)}
    assert asked == set(worked.numbers())


def test_every_fit_has_its_story_and_its_line() -> None:
    stories = "\n".join(
        text for text in map(house_pages.filled, (text for name, text in pages().items() if name.startswith("fits/")))
    )
    assert [name for name in REGISTRY if f"\n## {name}\n" not in stories or f"#{fits.slug(name)})" not in stories] == []
    assert {fit.group for fit in REGISTRY.values()} <= {Path(name).stem for name in pages() if name.startswith("fits/")}


def test_every_fit_applies_to_a_sample() -> None:
    without = [
        fit.name for fit in REGISTRY.values() if not any(fit.applies(each.job.engine) for each in samples.SAMPLES)
    ]
    assert without == []


@pytest.mark.parametrize("file", records.TABLES)
def test_every_column_has_its_meaning(file: str) -> None:
    columns, _, meant = records.TABLES[file]
    assert list(meant) == list(columns)


def test_the_columns_of_a_table_stand_on_the_page() -> None:
    page = house_pages.filled(pages()["job-folder.md"])
    for columns, _, _ in records.TABLES.values():
        assert [name for name in columns if f"| `{name}` |" not in page] == []


ADDRESSES = {
    name
    for module in (SOURCE / "bench").rglob("*.py")
    for name in re.findall(r'Address\(\s*"[^"]*",\s*"([a-z-]+)"', module.read_text("utf-8"))
}
"""Names of pages' addresses look like codes of problems, and are none."""
ENGINE_SHAPES = {"flat-four", "flat-six", "v-six"}
PAPERS = {"blank-all"}
NO_CODES = {"blockwright-demo", "gauge-study"} | set(REGISTRY) | ADDRESSES | ENGINE_SHAPES | PAPERS
CODE = re.compile(r"[a-z]+(-[a-z]+)+")


def codes_written(module: Path) -> set[str]:
    """What looks like a code among the first two words that any call is given."""
    calls = (node for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))) if isinstance(node, ast.Call))
    words = (word.value for call in calls for word in call.args[:2] if isinstance(word, ast.Constant))
    return {word for word in words if isinstance(word, str) and CODE.fullmatch(word)}


def test_no_problem_is_missing_from_its_page() -> None:
    """Codes are looked for here in another way than the page does: any text of that shape that a call begins with."""
    page = house_pages.filled(pages()["errors.md"])
    listed = set(re.findall(r"`([a-z]+(?:-[a-z]+)*)`", page))
    units = {"ft-lb", "in-lb"}
    written = set().union(*map(codes_written, SOURCE.rglob("*.py"))) - NO_CODES - units
    assert len(written) > 50
    assert {code for code in written if code not in listed and f"quantity-{code}" not in listed} == set()


def test_every_problem_says_what_is_wrong() -> None:
    """Only the words that mean two things have their own reasons, each another."""
    silent = {said.code for said in told.every_problem() if not re.search(r"\w{2}", said.what + said.mend)}
    assert silent <= {"quantity-unit-unclear"}


@pytest.mark.parametrize(
    "code", ["engine-banks", "quantity-no-unit", "toml-choice", "table-header", "study-missing", "wrong-state"]
)
def test_words_are_found_through_the_functions_that_pass_them_on(code: str) -> None:
    assert any(said.code == code and " " in said.what for said in told.every_problem())


CITED = re.compile(
    r"(?P<author>\b[A-Z][\w.\- ]*)[:,]? .{0,3}?[\"“]?(?P<title>[A-Z][a-z]+[^\"”]{8,}?)[\"”,.(].*?(?P<year>\b(?:19|20)\d\d\b)"
    r"|(?P<standard>\b(?:ISO|JCGM|JIS)[ \w]* [\d-]+:(?:19|20)\d\d\b).*?[\"“](?P<name>[^\"”]{8,})[\"”]",
    re.DOTALL,
)


@pytest.mark.parametrize("module", published.modules(), ids=lambda module: module.stem)
def test_a_published_check_names_its_source(module: Path) -> None:
    """Author (or issuing body), title and year, in the header, or that there is none and what stands in; and what difference is allowed."""
    header = published.docstring(module)
    honest = "no published number" in header.lower() and "two independent routes" in header
    assert CITED.search(header) or honest, f"{module.name}: no author, title and year in the header"
    assert re.search(r"[Tt]oleran|half a unit|are met to|digits", header), f"{module.name}: what is allowed is not said"


@pytest.mark.parametrize("header", ["Numbers that we had once.", "Grubbs, somewhere.", "From a book of 1998."])
def test_a_header_without_a_source_is_seen(header: str) -> None:
    assert not CITED.search(header)


STANDARD = re.compile(r"\b(ISO|JCGM|AIAG|NIST)(?:[/ ]+[A-Z]+)? ?(\d[\d-]*)?")
PERSON = re.compile(r"\b(?:[A-Z]\. )+(?:[a-z]+ )?([A-Z][a-z]{2,})\b")


def sources_named(text: str) -> set[str]:
    """Standards by body and number, books and papers by the author's name."""
    standards = {f"{body} {number}".strip() for body, number in STANDARD.findall(text)}
    return standards | set(PERSON.findall(text))


def unchecked(text: str, checked: set[str]) -> set[str]:
    """Sources that a module names and no published check does, unless the module says that it is not validated."""
    if "not validated" in text:
        return set()
    return {name for name in sources_named(text) if name not in checked and name not in published.ELSEWHERE}


@pytest.mark.parametrize(
    "module",
    [path for floor in ("physics", "metrology") for path in sorted((SOURCE / floor).rglob("*.py"))],
    ids=lambda module: module.relative_to(SOURCE).as_posix(),
)
def test_every_source_of_a_model_has_a_published_check(module: Path) -> None:
    """A source counts as checked where the header of a published module names it: standards by number, people by surname.

    One whose own figures were not to be had stands in `published.ELSEWHERE`, with what is compared instead; the page lists it.
    """
    checked = set().union(*(sources_named(published.docstring(each)) for each in published.modules()))
    tree = ast.parse(module.read_text(encoding="utf-8"))
    nodes = (node for node in ast.walk(tree) if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef))
    said = "\n".join(ast.get_docstring(node) or "" for node in nodes)
    assert unchecked(said, checked) == set()


def test_a_source_without_a_check_is_seen() -> None:
    assert unchecked("After A. B. Nobody, Some book, 1950, and ISO 99999:2001.", {"ISO 286-1"}) == {
        "Nobody",
        "ISO 99999",
    }
    assert unchecked("After A. B. Nobody, Some book, 1950; not validated.", set()) == set()


def watch() -> ModuleType:
    import watch_published

    return watch_published


@pytest.mark.parametrize(
    ("found", "asked", "share"),
    [
        (1.0, {"expected": 1.0}, 0.0),
        (1.0005, {"expected": 1.0, "rel": 1e-3}, 0.5),
        (10.02, {"expected": 10.0, "abs": 0.04}, 0.5),
        ([1.0, 2.5], {"expected": [1.0, 2.0], "abs": 1.0}, 0.5),
        ({"a": 3.0}, {"expected": {"a": 2.0}, "abs": 4.0}, 0.25),
        (2.0, {"expected": 1.0, "abs": 0.5}, 2.0),
    ],
)
def test_the_worst_is_a_share_of_the_tolerance(found: object, asked: dict[str, object], share: float) -> None:
    plugin = watch()
    plugin.SEEN.clear()
    agrees = found == plugin.Watched(**asked)
    assert plugin.SEEN[plugin.NOW["test"]]["worst"] == pytest.approx(share)
    assert agrees is (share <= 1.0)


@pytest.mark.slow
def test_the_pages_build_without_a_warning(tmp_path: Path) -> None:
    for needed in ("sphinx", "myst_parser", "furo"):
        pytest.importorskip(needed, reason="make docs installs what the pages need")
    asked = [sys.executable, "-m", "sphinx", "-W", "-q", "-b", "html", str(DOCS), str(tmp_path)]
    done = subprocess.run(asked, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "validation.html").exists()
