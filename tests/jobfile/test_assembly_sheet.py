"""Assembly and bolts in job.toml: read, told where they are at fault, written back."""

import math

import pytest

from blockwright.engine.assembly import CamPlace, PistonWay
from blockwright.engine.fasteners import Joint

JOB = "job.toml"
WRITTEN = """
[assembly]
cam = "in the block"
thrust_main = 3
sealant_open = "12 min"
one_angle = [1, 4]

[[fastener]]
joint = "heads"
count = 10
stages = ["40 Nm", "70 Nm"]
angle = "90 deg"
stretch = "0.14 mm"
pattern = [5, 6, 4, 7, 3, 8, 2, 9, 1, 10]
source = "sheet 4 (invented)"
"""


@pytest.fixture
def harbour(harbour):
    """The demonstration without what it says of its assembly and bolts, which stand at its end."""
    said = harbour.text(JOB)
    harbour.write(JOB, said[: said.index("[assembly]")])
    return harbour


def append(bench, text):
    bench.write(JOB, bench.text(JOB) + text)
    return bench


def test_it_is_read(harbour) -> None:
    sheet = append(harbour, WRITTEN).job().sheet
    assert sheet.assembly.cam is CamPlace.BLOCK
    assert sheet.assembly.sealant_open_s == pytest.approx(720.0)
    assert sheet.assembly.one_angle == (1, 4)
    (heads,) = sheet.fastener
    assert heads.joint is Joint.HEADS
    assert heads.angle_rad == pytest.approx(math.pi / 2)
    assert heads.stretch_m == pytest.approx(0.14e-3)
    assert heads.stages == ("40 Nm", "70 Nm")


def test_without_it_the_defaults_hold(harbour) -> None:
    job = harbour.job()
    assert job.sheet.assembly.of(job.engine).pistons_enter is PistonWay.ABOVE
    assert job.sheet.fastener == ()


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ('[assembly]\npistons_enter = "from below"', "assembly, pistons_enter", "says after"),
        ('[assembly]\ncam = "in the case"', "assembly, cam", "not split on the crank line"),
        ("[assembly]\nthrust_main = 9", "assembly, thrust_main", "there is no main 9"),
        ('[assembly]\ncam = "in the blok"', "assembly, cam", "not possible here"),
        ('[[fastener]]\njoint = "heads"\npattern = [1, 1]', "fastener 1, pattern", "each bolt once"),
        ('[[fastener]]\njoint = "heads"\n[[fastener]]\njoint = "heads"', "fastener 2, joint", "there twice"),
        ('[[fastener]]\njoint = "hedas"', "fastener 1, joint", "Did you mean 'heads'?"),
    ],
)
def test_a_fault_is_told_at_its_place_once(harbour, text, field, words) -> None:
    problem = append(harbour, f"\n{text}\n").only()
    assert problem.place.field == field
    assert words in str(problem)
