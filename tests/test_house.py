"""The rules of the house that a machine can check."""

import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[1]
PASSED_OVER = {"__pycache__", "_build", "build", "dist"}
LONGEST_MODULE = 500

# In pieces, so that this file does not name what it looks for.
UNWANTED = re.compile(
    "|".join(
        (
            "tran" + "script",
            "seed " + "document",
            r"(?<![\w>}\]*])/(work|" + "farm)/",
            "/tmp/" + "bw",
            r"https?://[a-z.]*(py[a-z]*|npm[a-z]*|deb[a-z]*)[.](org|com)",
        )
    ),
    re.IGNORECASE,
)
LINK = re.compile(r"\]\(\s*<?([^)\s>]+)>?[^)]*\)|(?:src|href)=\"([^\"]+)\"")
CODE = re.compile(r"```.*?```|`[^`\n]*`", re.DOTALL)
PINNED = re.compile(r"(?P<name>[a-z0-9][a-z0-9.-]*)==(?P<version>[^ ;]+)(?: ; (?P<marker>.+))?")


@cache
def house_files() -> tuple[Path, ...]:
    """Every file of the project that is not made from another: what git knows, or else what lies here."""
    asked = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    if (HOUSE / ".git").exists():
        listed = subprocess.run(asked, cwd=HOUSE, capture_output=True, text=True, check=True).stdout
        found = (HOUSE / name for name in listed.split("\0") if name)
    else:
        found = (path for path in HOUSE.rglob("*") if not made(path.relative_to(HOUSE)))
    return tuple(sorted(path for path in found if path.is_file()))


def made(path: Path) -> bool:
    """Whether a path lies in a folder that tools fill."""
    hidden = (part for part in path.parts[:-1] if part.startswith(".") and part != ".ci")
    return bool(PASSED_OVER.intersection(path.parts)) or any(hidden)


def text_of(path: Path) -> str:
    """The text of a file; nothing for a picture or another file that is not text."""
    raw = path.read_bytes()
    return "" if b"\0" in raw else raw.decode("utf-8", errors="replace")


def named(path: Path) -> str:
    return path.relative_to(HOUSE).as_posix()


def test_the_house_is_seen() -> None:
    names = {named(path) for path in house_files()}
    assert {"Makefile", ".ci/run", "src/blockwright/__init__.py", "tests/test_house.py"} <= names
    assert not any(name.startswith(".venv/") for name in names)


def modules() -> list[Path]:
    return [path for path in house_files() if path.suffix == ".py" and HOUSE / "src" in path.parents]


def test_modules_have_one_subject() -> None:
    lengths = {named(path): len(text_of(path).splitlines()) for path in modules()}
    assert lengths
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_MODULE} == {}


def test_every_floor_is_a_package() -> None:
    """Without an __init__.py a folder is passed over by the check of the floors and by the examples."""
    folders = {path.parent for path in modules()}
    assert [named(folder) for folder in sorted(folders) if not (folder / "__init__.py").exists()] == []


def test_nothing_names_a_workplace_or_a_registry() -> None:
    found = [
        f"{named(path)}:{number}: {line.strip()[:100]}"
        for path in house_files()
        if path.suffix != ".svg"
        for number, line in enumerate(text_of(path).splitlines(), 1)
        if UNWANTED.search(line)
    ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    ["see /wo" + "rk/x", "a Tran" + "script", "https" + "://files.pypi.org/x", "http" + "://deb.debian.org/"],
    ids=["path", "word", "registry", "mirror"],
)
def test_an_unwanted_word_is_seen(line: str) -> None:
    assert UNWANTED.search(line)


def loaded_by(code: str) -> set[str]:
    """The top-level modules that a fresh Python holds after the code."""
    asked = f"import sys\n{code}\nprint('loaded', *{{name.split('.')[0] for name in sys.modules}})"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.rpartition("loaded")[2].split())


def test_importing_blockwright_is_light() -> None:
    heavy = {"django", "numpy", "rich", "scipy", "typer"}
    assert loaded_by("import blockwright.problems").isdisjoint(heavy)
    assert "numpy" in loaded_by("import numpy")


def test_asking_for_help_is_light() -> None:
    asked = """
from blockwright.cli.main import main
sys.argv = ["blockwright", "--help"]
try:
    main()
except SystemExit as leaving:
    assert not leaving.code, leaving.code
"""
    assert loaded_by(asked).isdisjoint({"django", "numpy", "scipy"})


def local_links(page: Path) -> list[str]:
    """The targets of a page's links that lie in the project, without the heading they point to."""
    targets = (first or second for first, second in LINK.findall(CODE.sub("", text_of(page))))
    files = (target.partition("#")[0] for target in targets if not re.match(r"[a-z]+:", target))
    return [file for file in files if file]


def test_links_lead_somewhere() -> None:
    pages = [path for path in house_files() if path.suffix == ".md"]
    assert any(local_links(page) for page in pages)
    dead = [
        f"{named(page)}: {link}" for page in pages for link in local_links(page) if not (page.parent / link).exists()
    ]
    assert dead == []


LOCKS = tuple(sorted((HOUSE / "requirements").glob("*.txt")))


def entries(lock: Path) -> list[str]:
    """The requirements of a lock, each with its hashes and without its comments, on one line."""
    lines = (line for line in text_of(lock).splitlines() if line and not line.lstrip().startswith("#"))
    return "\n".join(lines).replace("\\\n", "").splitlines()


def pins(lock: Path) -> dict[tuple[str, str], str]:
    """Name and marker of each locked package, with its version."""
    found = [PINNED.match(entry.partition(" --hash=")[0].strip()) for entry in entries(lock)]
    return {(pin["name"], pin["marker"] or ""): pin["version"] for pin in found if pin}


def test_every_list_has_its_lock() -> None:
    lists = {path.stem for path in (HOUSE / "requirements").glob("*.in")}
    assert lists == {lock.stem for lock in LOCKS} == {"build", "dev", "docs", "oracles", "runtime"}


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.stem)
def test_locks_hold_hashes_and_no_address(lock: Path) -> None:
    assert "://" not in text_of(lock)
    assert len(pins(lock)) == len(entries(lock)) > 0
    assert [entry for entry in entries(lock) if not re.search(r" --hash=sha256:[0-9a-f]{64}\b", entry)] == []


def test_locks_agree() -> None:
    everything = pins(HOUSE / "requirements" / "dev.txt")
    for lock in LOCKS:
        shared = pins(lock).keys() & everything.keys()
        assert {key: pins(lock)[key] for key in shared} == {key: everything[key] for key in shared}
    for smaller in ("build", "runtime"):
        assert pins(HOUSE / "requirements" / f"{smaller}.txt").keys() <= everything.keys()


def test_the_project_declares_what_the_lock_is_made_from() -> None:
    declared = tomllib.loads(text_of(HOUSE / "pyproject.toml"))["project"]["dependencies"]
    assert declared == text_of(HOUSE / "requirements" / "runtime.in").split()
