"""What other commands say of an engine at work: `explain`, `sheet` and `export` have what is kept, and work nothing out."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from rich.cells import cell_len

from blockwright.running.work import kept as kept_module
from blockwright.running.work.result import Work

from ..report.work_sample import sample_work

WORK = sample_work()


@pytest.fixture
def keep(harbour: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[Work], None]:
    """Keep a result for the harbour four as it is now, by the true way."""
    folder = tmp_path / "kept"
    folder.mkdir()
    monkeypatch.setattr(kept_module, "_folder", lambda: folder)

    def put(work: Work) -> None:
        from blockwright.jobfile.folder import read_folder

        kept_module.keep(replace(work, digest=kept_module.digest_of(read_folder(harbour).job)))

    return put


def changed(folder: Path) -> None:
    """Another customer: another job."""
    job = folder / "job.toml"
    job.write_text(job.read_text().replace('name = "Harbour rescue boat, inline four"', 'name = "Another boat"', 1))


def flat(out: str) -> str:
    return " ".join(out.split())


def test_explain_tells_a_fit_at_work(give: Callable, harbour: Path, keep: Callable[[Work], None]) -> None:
    before = give("explain", harbour, "top end gap", "2").out
    assert "At work not worked out for this job as it is now: blockwright work JOB" in flat(before)
    keep(WORK)
    after = give("explain", harbour, "top end gap", "2").out
    said = flat(after)
    fit = next(each for each in WORK.fits if (each.fit, each.position) == ("top end gap", "cylinder 2"))
    assert "not worked out" not in said
    assert fit.said in said
    assert "weighs temperature of the top ring 61 %, gap as read 24 %" in said
    assert flat(fit.authority) in said
    assert [line for line in after.splitlines() if cell_len(line) > 80] == []


def test_explain_tells_a_bearing_at_work(give: Callable, harbour: Path, keep: Callable[[Work], None]) -> None:
    keep(WORK)
    said = flat(give("explain", harbour, "rod film", "1").out)
    assert "at its thinnest" in said
    assert "MPa in the oil" in said
    assert "keeps the film over" in said


def test_a_fit_that_heat_says_nothing_of_has_no_word_of_it(
    give: Callable, harbour: Path, keep: Callable[[Work], None]
) -> None:
    assert "At work" not in give("explain", harbour, "crank end float").out
    keep(WORK)
    assert "At work" not in give("explain", harbour, "crank end float").out


def test_explain_gives_it_to_programs(give: Callable, harbour: Path, keep: Callable[[Work], None]) -> None:
    assert json.loads(give("explain", harbour, "top end gap", "2", "--json").out)["at_work"] is None
    keep(WORK)
    told = json.loads(give("explain", harbour, "top end gap", "2", "--json").out)["at_work"]
    assert [each["standing"] for each in told["hot"]] == ["undecided"]


def test_a_job_that_was_changed_has_nothing_at_work(
    give: Callable, harbour: Path, keep: Callable[[Work], None]
) -> None:
    keep(WORK)
    changed(harbour)
    assert "not worked out for this job as it is now" in flat(give("explain", harbour, "top end gap", "2").out)


def test_the_sheet_and_the_export_have_what_is_kept(
    give: Callable, harbour: Path, keep: Callable[[Work], None], tmp_path: Path
) -> None:
    for name, there in (("before", False), ("after", True), ("changed", False)):
        if there:
            keep(WORK)
        if name == "changed":
            changed(harbour)
        sheet, folder = tmp_path / f"{name}.pdf", tmp_path / name
        assert give("sheet", harbour, "--to", sheet).code == 0
        assert give("export", harbour, "--to", folder).code == 0
        text = flat("".join(page.extract_text() for page in pypdf.PdfReader(sheet).pages))
        assert ("Fits at work" in text) is there
        assert ("Not worked out for this job as it is now" in text) is not there
        assert (folder / "at-work.csv").exists() is there
