"""W. C. Young and R. G. Budynas, "Roark's Formulas for Stress and Strain", 7th ed. 2002, Table 11.2: annular plates under an even load.

Source: the rows of cases 2b (outer edge supported, inner edge guided) and 2d (outer edge supported, inner edge fixed) were read in a
public reprint; they contain every plate constant that the land needs. All for a load over the whole plate and Poisson's ratio 0.3.
The rows of the land's own case 2l (outer edge free, inner edge fixed) were not at hand: it has two independent routes, the closed form
and the plate's differential equation solved as a boundary-value problem; and the rows that were worked out before the program was.

Symbols: Roark's a is our A (outer radius), b the root radius; K_y = y D/(q a⁴), K_M = M/(q a²), K_Q = Q/(q a), with his signs (our
deflection and moment have the other).

Tolerance: half a unit of the last printed digit. Differential equation: relative 1e-6.

Skipped: K_theta (slope), which the program does not need; case 2d at 0.9, which was not in the reprint.
"""

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from blockwright.physics.lands import _plate_constants, land_bending, strip_stress_pa

NU = 0.3


@pytest.mark.published
@pytest.mark.parametrize(
    ("ratio", "deflection", "moment"),
    [
        (0.1, -0.0575, 0.3003),
        (0.3, -0.0314, 0.2185),
        (0.5, -0.0103, 0.1223),
        (0.7, -0.0015, 0.0456),
        (0.9, -0.00002, 0.00505),
    ],
)
def test_supported_and_guided(ratio, deflection, moment):
    """Case 2b: M_rb = q a² L17/C8, y_b = q a⁴/D (C2 L17/C8 - L11)."""
    plate = _plate_constants(ratio, NU)
    digits = 5e-6 if ratio == 0.9 else 5e-5
    assert plate.l17 / plate.c8 == pytest.approx(moment, abs=digits)
    assert -(plate.c2 * plate.l17 / plate.c8 - plate.l11) == pytest.approx(deflection, abs=digits)


@pytest.mark.published
@pytest.mark.parametrize(
    ("ratio", "moment", "moment_digits", "shear", "shear_digits"),
    [
        (0.1, -0.2459, 5e-5, 2.1375, 5e-5),
        (0.3, -0.0939, 5e-5, 0.7533, 5e-5),
        (0.5, -0.0393, 5e-5, 0.4096, 5e-5),
        (0.7, -0.01257, 5e-6, 0.21259, 5e-6),
    ],
)
def test_supported_and_fixed(ratio, moment, moment_digits, shear, shear_digits):
    """Case 2d: M_rb = -q a² (C3 L17 - C9 L11)/(C2 C9 - C3 C8), Q_b = q a (C2 L17 - C8 L11)/(C2 C9 - C3 C8)."""
    plate = _plate_constants(ratio, NU)
    below = plate.c2 * plate.c9 - plate.c3 * plate.c8
    assert -(plate.c3 * plate.l17 - plate.c9 * plate.l11) / below == pytest.approx(moment, abs=moment_digits)
    assert (plate.c2 * plate.l17 - plate.c8 * plate.l11) / below == pytest.approx(shear, abs=shear_digits)


def factors(ratio, nu=NU):
    """K_y and K_M of the land in Roark's signs, from the public function: radius 0.1 m, thickness a tenth of the depth."""
    outer, thickness, modulus, load = 0.1, 0.01 * (1.0 - ratio), 70e9, 1e5
    bent = land_bending(load, outer, ratio * outer, thickness, modulus, nu)
    stiffness = modulus * thickness**3 / (12.0 * (1.0 - nu**2))
    assert bent.stress_pa == pytest.approx(6.0 * bent.moment_n / thickness**2, rel=1e-12)
    return -bent.deflection_m * stiffness / (load * outer**4), -bent.moment_n / (load * outer**2)


def by_differential_equation(ratio, nu):
    """Deflection of the rim and moment at the root for A = q = D = 1: the plate's equilibrium with w, its slope, M_r as unknowns; Q from balance."""

    def slopes(r, state):
        _, slope, radial = state
        bend = -radial - nu * slope / r
        tangential = -(slope / r + nu * bend)
        carried_inwards = (1.0 - r**2) / (2.0 * r)
        return np.vstack([slope, bend, carried_inwards - (radial - tangential) / r])

    def edges(root, rim):
        return np.array([root[0], root[1], rim[2]])

    radii = np.linspace(ratio, 1.0, 60)
    found = solve_bvp(slopes, edges, radii, np.zeros((3, 60)), tol=1e-10, max_nodes=20000)
    assert found.success
    return found.y[0, -1], found.y[2, 0]


@pytest.mark.parametrize("nu", [0.3, 0.33])
@pytest.mark.parametrize("ratio", [0.1, 0.3, 0.5, 0.7, 0.9, 0.95])
def test_land_by_differential_equation(ratio, nu):
    deflection, moment = by_differential_equation(ratio, nu)
    found_deflection, found_moment = factors(ratio, nu)
    assert -found_deflection == pytest.approx(deflection, rel=1e-6)
    assert found_moment == pytest.approx(moment, rel=1e-6)


@pytest.mark.parametrize(
    ("ratio", "deflection", "moment"),
    [
        (0.1, 0.07569, 0.96457),
        (0.3, 0.03182, 0.41034),
        (0.5, 0.00859, 0.17357),
        (0.7, 0.00110, 0.05408),
        (0.9, 0.0000129, 0.00530),
    ],
)
def test_land_as_worked_before_the_program_was_written(ratio, deflection, moment):
    found_deflection, found_moment = factors(ratio)
    assert -found_deflection == pytest.approx(deflection, abs=5e-8 if ratio == 0.9 else 5e-6)
    assert -found_moment == pytest.approx(moment, abs=5e-6)


def test_a_shallow_land_comes_to_the_strip():
    """1.06 times the strip with the root at 0.9, and the strip itself as the depth goes to nil: stress and deflection."""
    over = []
    for ratio in (0.9, 0.97, 0.99):
        depth = 0.1 * (1.0 - ratio)
        bent = land_bending(1e5, 0.1, 0.1 * ratio, 0.05 * depth, 70e9, NU)
        over.append(bent.stress_pa / strip_stress_pa(1e5, depth, 0.05 * depth))
    assert over[0] == pytest.approx(1.06, abs=5e-3)
    assert over[2] == pytest.approx(1.0, abs=0.007)
    assert over == sorted(over, reverse=True)
    deflection, _ = factors(0.99)
    assert -deflection == pytest.approx(0.01**4 / 8.0, rel=0.01)
