"""Maps of mobility: what is read off them is what the solver says; how they are kept on disk."""

import math
import subprocess
import sys

import numpy as np
import pytest

from blockwright.physics import compiled, mobility
from blockwright.physics.journal_orbit import _look
from blockwright.physics.mobility import mobility_map, short_map
from blockwright.physics.reynolds import squeeze


def read(kept, e, g):
    """Mobility vector along and across a load at an angle g from the offset, peak, edge flow."""
    return np.array(_look(kept.tables, e, 0.0, math.cos(g), math.sin(g)))


@pytest.mark.parametrize("e", [0.1, 0.37, 0.62, 0.83, 0.93, 0.985])
@pytest.mark.parametrize("direction", [0.15, 0.9, 1.6, 2.3, 3.0])
def test_between_its_nodes_the_map_says_what_the_solver_says(e, direction):
    found = squeeze(e, direction, 0.5)
    g = math.atan2(found.load[1], found.load[0])
    along, across, peak, edge = read(mobility_map(0.5), e, g)
    assert math.hypot(along, across) == pytest.approx(1.0 / found.load_size, rel=0.005)
    assert g + math.atan2(across, along) == pytest.approx(direction, abs=math.radians(0.1))
    assert peak == pytest.approx(found.peak / found.load_size, rel=0.01)
    assert edge == pytest.approx(found.edge_flow, rel=0.005)


def test_the_other_side_is_the_mirror_image():
    one, other = (read(mobility_map(0.5), 0.7, g) for g in (1.0, -1.0))
    assert other == pytest.approx(one * [1.0, -1.0, 1.0, 1.0])


def test_the_map_turns_with_the_load():
    kept = mobility_map(0.5)
    straight = _look(kept.tables, 0.6, 0.0, math.cos(1.0), math.sin(1.0))
    turned = _look(kept.tables, 0.6 * math.cos(2.0), 0.6 * math.sin(2.0), 5.0 * math.cos(3.0), 5.0 * math.sin(3.0))
    assert turned == pytest.approx(straight)


@pytest.mark.parametrize("e", [0.01, 0.2, 0.4])
@pytest.mark.parametrize("g", [0.0, 0.8, 1.6, 3.0])
def test_a_narrow_bearing_is_a_short_one(e, g):
    """The short form is a fit, good to about 3 % here."""
    tables = mobility._row(e, 0.05, 33)
    s = np.linspace(0.0, 1.0, 33)
    scaled = np.exp([np.interp(math.sqrt(g / math.pi), s, tables[k]) for k in (0, 1)])
    assert scaled == pytest.approx(np.exp(short_map(0.05).tables[:2, 0, 0]), rel=0.06)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A cache folder of its own, and a solver that counts how often it is asked."""
    made = []

    def quick(width_ratio, *_):
        made.append(width_ratio)
        return np.full((4, mobility.DEPTHS, mobility.TURNS), width_ratio)

    monkeypatch.setattr(mobility, "cache_folder", lambda: tmp_path)
    monkeypatch.setattr(mobility, "made_tables", quick)
    return tmp_path, made


def fresh(width_ratio):
    """Past the memory of this process."""
    return mobility_map.__wrapped__(width_ratio)


def test_a_map_is_made_once(folder):
    path, made = folder
    assert fresh(0.3333).tables[0, 0, 0] == fresh(0.333).tables[0, 0, 0] == 0.333
    assert made == [0.333]
    assert [each.name for each in path.iterdir()] == [f"mobility-{mobility.VERSION}-0.333.npz"]


@pytest.mark.parametrize("spoilt", [b"", b"no map", b"PK\x03\x04 half a file"])
def test_a_spoilt_file_is_made_anew(folder, spoilt):
    path, made = folder
    (path / f"mobility-{mobility.VERSION}-0.400.npz").write_bytes(spoilt)
    assert fresh(0.4).tables[0, 0, 0] == fresh(0.4).tables[0, 0, 0] == 0.4
    assert made == [0.4]


def test_a_new_version_makes_new_maps(folder, monkeypatch):
    _, made = folder
    fresh(0.4)
    monkeypatch.setattr(mobility, "VERSION", mobility.VERSION + 1)
    fresh(0.4)
    assert made == [0.4, 0.4]


def test_without_a_folder_to_write_in_it_works_all_the_same(folder, monkeypatch, tmp_path):
    for nowhere in (None, tmp_path / "not there"):
        monkeypatch.setattr(mobility, "cache_folder", lambda nowhere=nowhere: nowhere)
        assert fresh(0.4).tables[0, 0, 0] == 0.4


def test_loops_are_compiled_where_nothing_can_be_kept(monkeypatch, tmp_path):
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setattr(compiled, "user_cache_path", lambda *_, **__: tmp_path / "file" / "below")
    assert compiled.cache_folder() is None

    def twice(x: float) -> float:
        return 2.0 * x

    assert compiled.compiled(twice)(1.5) == 3.0


def test_the_compiler_is_loaded_only_by_what_steps_through_time():
    asked = (
        "import sys, blockwright.physics.plain_bearing as p; print(sorted({'numba', 'llvmlite'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
