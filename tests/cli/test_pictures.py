"""`blockwright pictures`: every picture is written and named, and no file of somebody else's is touched."""

import re
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest


def names(cylinders: int) -> set[str]:
    each = {f"{kind}-{number}.svg" for kind in ("bore", "ring-clocking") for number in range(1, cylinders + 1)}
    return {"engine-plan.svg", "bores.svg", "route-1.svg"} | each


def beside(found: set[str]) -> set[str]:
    """Without orders of tightening, and panels of the route after the first, of which there are as many as it takes."""
    return {name for name in found if not re.fullmatch(r"torque-order-[a-z-]+\.svg|route-([2-9]|\d\d)\.svg", name)}


@pytest.mark.parametrize(("job", "cylinders"), [("harbour", 4), ("hillclimb", 6)])
def test_every_picture_is_written_and_named(
    give: Callable, request: pytest.FixtureRequest, tmp_path: Path, job: str, cylinders: int
) -> None:
    to = tmp_path / "deep" / "drawn"
    done = give("pictures", request.getfixturevalue(job), "--to", to)
    assert (done.code, done.err) == (0, "")
    assert beside({path.name for path in to.iterdir()}) == names(cylinders)
    assert names(cylinders) <= set(done.out.split())
    for path in to.iterdir():
        root = ET.fromstring(path.read_text(encoding="utf-8"))
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert [child.tag.partition("}")[2] for child in root[:2]] == ["title", "desc"]
        assert all(child.text for child in root[:2])


@pytest.mark.parametrize(("layout", "cylinders"), [("inline", 1), ("V", 8), ("flat", 16)])
def test_a_job_with_nothing_read_is_drawn(
    give: Callable, made: Callable, tmp_path: Path, layout: str, cylinders: int
) -> None:
    job = made(layout=layout, cylinders=str(cylinders))
    assert give("pictures", job, "--to", tmp_path / "drawn").code == 0
    assert beside({path.name for path in (tmp_path / "drawn").iterdir()}) == names(cylinders)
    assert "not measured" in (tmp_path / "drawn" / "engine-plan.svg").read_text(encoding="utf-8")


def test_its_own_pictures_are_drawn_anew(give: Callable, harbour: Path, hillclimb: Path, tmp_path: Path) -> None:
    to = tmp_path / "drawn"
    assert give("pictures", harbour, "--to", to).code == 0
    first = (to / "engine-plan.svg").read_text(encoding="utf-8")
    assert give("pictures", hillclimb, "--to", to).code == 0
    assert (to / "engine-plan.svg").read_text(encoding="utf-8") != first


@pytest.mark.parametrize("content", [b"", b"<svg/>", b"\xff\xfe mine"])
def test_a_foreign_file_is_kept_and_nothing_is_written(
    give: Callable, harbour: Path, tmp_path: Path, content: bytes
) -> None:
    mine = tmp_path / "drawn" / "bore-3.svg"
    mine.parent.mkdir()
    mine.write_bytes(content)
    done = give("pictures", harbour, "--to", mine.parent)
    assert done.code == 2
    assert "bore-3.svg" in done.err
    assert mine.read_bytes() == content
    assert list(mine.parent.iterdir()) == [mine]


def test_a_folder_in_the_place_of_a_picture_is_kept(give: Callable, harbour: Path, tmp_path: Path) -> None:
    (tmp_path / "drawn" / "bores.svg").mkdir(parents=True)
    assert give("pictures", harbour, "--to", tmp_path / "drawn").code == 2


def test_a_file_is_no_folder(give: Callable, harbour: Path, tmp_path: Path) -> None:
    file = tmp_path / "drawn"
    file.write_text("mine")
    done = give("pictures", harbour, "--to", file)
    assert done.code == 2
    assert "is a file" in done.err
    assert file.read_text() == "mine"


def test_a_joint_with_an_order_is_drawn(give: Callable, harbour: Path, tmp_path: Path) -> None:
    """Made up: the maker gives an order for the heads; for the sump none, so that one is made and marked; caps of three bolts in two rows are left out."""
    sheet = harbour / "job.toml"
    plain = sheet.read_text(encoding="utf-8").partition("[[fastener]]")[0]
    told = (
        '[[fastener]]\njoint = "heads"\ncount = 4\npattern = [3, 2, 4, 1]\nstages = ["30 Nm", "70 Nm"]\nsource = "sheet 7"\n\n'
        '[[fastener]]\njoint = "sump"\ncount = 6\n\n[[fastener]]\njoint = "main caps"\ncount = 3\n'
    )
    sheet.write_text(f"{plain}\n{told}", encoding="utf-8")
    done = give("pictures", harbour, "--to", tmp_path / "drawn")
    assert done.code == 0, done.err
    assert "sheet 7" in (tmp_path / "drawn" / "torque-order-heads.svg").read_text(encoding="utf-8")
    assert "no maker's pattern is given" in (tmp_path / "drawn" / "torque-order-sump.svg").read_text(encoding="utf-8")
    assert not (tmp_path / "drawn" / "torque-order-main-caps.svg").exists()


def test_the_route_is_drawn_panel_by_panel(give: Callable, hillclimb: Path, tmp_path: Path) -> None:
    done = give("pictures", hillclimb, "--to", tmp_path / "drawn")
    assert done.code == 0, done.err
    panels = sorted((tmp_path / "drawn").glob("route-*.svg"))
    assert len(panels) > 1
    shown = "".join(path.read_text(encoding="utf-8") for path in panels)
    told = give("route", "show", hillclimb, "--all").out
    keys = re.findall(r'data-step="([^"]*)"', shown)
    assert len(keys) > 80
    assert len(keys) == len(set(keys)) == int(re.search(r"of (\d+) steps done", " ".join(told.split())).group(1))  # type: ignore[union-attr]
    assert all(path.name in done.out.split() for path in panels)


def test_panels_that_are_left_over_are_taken_away_and_nothing_else(
    give: Callable, harbour: Path, tmp_path: Path
) -> None:
    to = tmp_path / "drawn"
    assert give("pictures", harbour, "--to", to).code == 0
    left, mine = to / "route-98.svg", to / "route-99.svg"
    left.write_bytes((to / "route-1.svg").read_bytes())
    mine.write_text("<svg/>")
    assert give("pictures", harbour, "--to", to).code == 0
    assert (left.exists(), mine.exists()) == (False, True)
