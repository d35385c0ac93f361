"""E. W. Lemmon et al., "Thermodynamic Properties of Air", 2000, by the library CoolProp; G. P. Smith et al., "GRI-Mech 3.0", 1999, by the library Cantera.

Gas properties and choked flow against general libraries, each an answer worked out by others; choking against the library fluids (isentropic nozzle).

Tolerance: gamma of air and of burnt gas within .0005 of Cantera, which holds the same kind of polynomials, internal energy within .1 %; gamma of air within .3 % of
CoolProp, which knows argon and the real gas at 1 bar (near 400 K the mechanism's nitrogen is itself .25 % off); choking to 1e-9.

Left out: dissociation, which the model leaves out as well.
"""

import cantera
import fluids
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from blockwright.physics.gas import AIR, BURNT, mixture
from blockwright.physics.orifice import choking_ratio, choking_temperature_ratio

pytestmark = pytest.mark.published

TEMPERATURES_K = (300.0, 500.0, 800.0, 999.0, 1001.0, 1500.0, 2000.0, 2500.0)


@pytest.fixture(scope="module")
def gri():
    return cantera.Solution("gri30.yaml")


def state(gri, parts, temperature_k):
    gri.TPX = temperature_k, 101325.0, dict(parts)
    return gri


@pytest.mark.parametrize("parts", [AIR, BURNT])
@pytest.mark.parametrize("temperature_k", TEMPERATURES_K)
def test_gamma_of_cantera(gri, parts, temperature_k):
    held = state(gri, parts, temperature_k)
    assert float(mixture(parts).gamma(temperature_k)) == pytest.approx(held.cp / held.cv, abs=5e-4)


@pytest.mark.parametrize("parts", [AIR, BURNT])
@pytest.mark.parametrize("temperature_k", TEMPERATURES_K[1:])
def test_internal_energy_of_cantera(gri, parts, temperature_k):
    zero = state(gri, parts, 298.15).int_energy_mass
    above = state(gri, parts, temperature_k).int_energy_mass - zero
    assert float(mixture(parts).energy_j_kg(temperature_k)) == pytest.approx(above, rel=1e-3)


@pytest.mark.parametrize("parts", [AIR, BURNT])
def test_gas_constant_of_cantera(gri, parts):
    held = state(gri, parts, 300.0)
    assert mixture(parts).r_j_kg_k == pytest.approx(cantera.gas_constant / held.mean_molecular_weight, rel=2e-4)


@pytest.mark.parametrize("temperature_k", [300.0, 400.0, 600.0, 900.0, 1200.0])
def test_gamma_of_coolprop(temperature_k):
    of_air = [PropsSI(name, "T", temperature_k, "P", 1e5, "Air") for name in ("CPMASS", "CVMASS")]
    assert float(mixture(AIR).gamma(temperature_k)) == pytest.approx(of_air[0] / of_air[1], rel=3e-3)


@pytest.mark.parametrize("gamma", [1.2, 1.289, 1.3, 1.33, 1.4])
def test_choking_of_fluids(gamma):
    above_pa, above_k = 1.4e6, 473.0
    assert above_pa * choking_ratio(gamma) == pytest.approx(fluids.P_critical_flow(above_pa, gamma), rel=1e-9)
    assert above_k * choking_temperature_ratio(gamma) == pytest.approx(fluids.T_critical_flow(above_k, gamma), rel=1e-9)


def test_isentropic_work_of_compression(gri):
    """A charge of air compressed tenfold without loss ends as hot as Cantera has it by constant entropy."""
    gas = mixture(AIR)
    held = state(gri, AIR, 350.0)
    held.SV = held.s, held.v / 10.0
    temperature, volume = 350.0, 1.0
    steps = np.linspace(1.0, 0.1, 20_001)
    for smaller in steps[1:]:
        middle = temperature * (volume / (0.5 * (volume + smaller))) ** (
            gas.r_j_kg_k / float(gas.cv_j_kg_k(temperature))
        )
        temperature *= (volume / smaller) ** (gas.r_j_kg_k / float(gas.cv_j_kg_k(middle)))
        volume = smaller
    assert temperature == pytest.approx(held.T, rel=5e-4)
