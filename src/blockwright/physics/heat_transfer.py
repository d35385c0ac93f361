"""Heat from gas to wall in the cylinder, by Woschni's correlation.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| B | bore_m | bore | m |
| p, T | pressure_pa, temperature_k | gas pressure (absolute) and mean temperature | Pa, K |
| w | speed_m_s | mean speed of the gas | m/s |
| Sp | piston_speed_m_s | mean piston speed | m/s |
| h | – | heat transfer coefficient | W/(m² K) |

References
----------
J. B. Heywood, "Internal Combustion Engine Fundamentals", 1988, equations 12.19 and 12.20 (from memory): h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8, p in
kPa; w = C1 Sp + C2 (Vd Tr / (pr Vr)) (p - pm), pm the pressure of the same charge turned without burning. C1 is 6.18 while gas is exchanged,
else 2.28; C2 is nil but while it burns and expands, 3.24e-3 m/(s K).
"""

from __future__ import annotations

from blockwright.physics.guards import Numbers, keep_above

C1_EXCHANGE, C1_CLOSED = 6.18, 2.28
C2_BURNING_M_S_K = 3.24e-3


def woschni_w_m2_k(bore_m: float, pressure_pa: Numbers, temperature_k: Numbers, speed_m_s: Numbers) -> Numbers:
    """Heat transfer coefficient, W/(m² K).

    Raises
    ------
    ValueError
        For a bore, pressure, temperature or speed that is not above nil.

    Example
    -------
    B 0.1 m, 5 MPa, 2200 K, 20 m/s (computed from the equation):

    >>> f"{woschni_w_m2_k(0.1, 5e6, 2200.0, 20.0):.0f}"
    '750'
    """
    keep_above("bore", bore_m, 0.0, "m")
    keep_above("gas pressure", pressure_pa, 0.0, "Pa")
    keep_above("gas temperature", temperature_k, 0.0, "K")
    keep_above("gas speed", speed_m_s, 0.0, "m/s")
    return plain_woschni(bore_m, pressure_pa, temperature_k, speed_m_s)


def plain_woschni(bore_m: float, pressure_pa: Numbers, temperature_k: Numbers, speed_m_s: Numbers) -> Numbers:
    """The same without looking at what it is given: for the inside of a loop whose ends were looked at."""
    h: Numbers = 3.26 * bore_m**-0.2 * (1e-3 * pressure_pa) ** 0.8 * temperature_k**-0.55 * speed_m_s**0.8
    return h


def gas_speed_m_s(c1: float, piston_speed_m_s: Numbers, c2_m_s_k: float = 0.0, over_motored: Numbers = 0.0) -> Numbers:
    """Mean speed of the gas, m/s; `over_motored` is (Vd Tr / (pr Vr)) (p - pm), K."""
    return c1 * piston_speed_m_s + c2_m_s_k * over_motored
