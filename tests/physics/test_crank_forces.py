"""Forces of one cylinder: by Lagrange's equation with the kinetic energy differentiated numerically, by energy, and by what must hold."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics.crank_forces import Drive, Rod, cylinder_forces, rod_bolt_load_n
from blockwright.physics.slider_crank import pin_height_m, pin_speed_m_s

SPEED = 6000 * math.pi / 30
DRIVE = Drive(0.086, 0.043, Rod(0.55, 0.137, 0.038), 0.42)
SKEWED = Drive(0.086, 0.043, Rod(0.55, 0.137, 0.038, 1.9e-3), 0.42, offset_m=-0.0008)
STEPS = 1440
ANGLE = np.arange(STEPS) * (4 * math.pi / STEPS)


def pressure(angle):
    """A smooth cycle of 720°: nothing of it is a true engine's but its size."""
    return 7e6 * np.exp(6.0 * (np.cos((angle - math.radians(15)) / 2) - 1.0)) + 2e4 * np.sin(angle)


def kinetic_energy(angle, speed, drive):
    """Of piston and rod as a rigid body, from places alone: speeds by central differences of places."""
    r, length, j, d = drive.throw_m, drive.rod.length_m, drive.rod.centroid_m, drive.offset_m
    inertia = drive.rod.inertia_kg_m2 or drive.rod.mass_kg * j * (length - j)

    def places(t):
        big = np.array([r * np.cos(t), r * np.sin(t)])
        pin = np.array([np.asarray(pin_height_m(t, r, length, d)), np.full_like(t, d)])
        middle = big + (pin - big) * (j / length)
        return pin, middle, np.arctan2((pin - big)[1], (pin - big)[0])

    h = 2e-4
    (p1, m1, f1), (p0, m0, f0) = places(angle + h), places(angle - h)
    rate = speed / (2 * h)
    vp, vm, turning = (p1 - p0) * rate, (m1 - m0) * rate, (f1 - f0) * rate
    return 0.5 * (drive.piston_kg * (vp**2).sum(0) + drive.rod.mass_kg * (vm**2).sum(0) + inertia * turning**2)


@pytest.mark.parametrize("drive", [DRIVE, SKEWED, replace(SKEWED, offset_m=0.0012)], ids=["two", "three", "minor"])
def test_torque_by_lagrange(drive):
    """At a steady speed the torque times the speed is the gas's power less what the kinetic energy takes up."""
    found = cylinder_forces(ANGLE, pressure(ANGLE), SPEED, drive).torque_nm
    h = 2e-3
    rise = [kinetic_energy(ANGLE + n * h, SPEED, drive) for n in (-2, -1, 1, 2)]
    taken_up = (rise[0] - 8 * rise[1] + 8 * rise[2] - rise[3]) / (12 * h)
    fall = -np.asarray(pin_speed_m_s(ANGLE, 1.0, drive.throw_m, drive.rod.length_m, drive.offset_m))
    expected = drive.piston_area_m2 * pressure(ANGLE) * fall - taken_up
    assert found == pytest.approx(expected, abs=1e-6 * np.abs(found).max())


@pytest.mark.parametrize("drive", [DRIVE, SKEWED], ids=["two", "three"])
def test_the_torque_does_the_indicated_work(drive):
    """∫ torque over 720° against ∫ p dV, V by differences of the pin's height."""
    torque = cylinder_forces(ANGLE, pressure(ANGLE), SPEED, drive).torque_nm
    fine = np.arange(20 * STEPS + 1) * (4 * math.pi / (20 * STEPS))
    height = np.asarray(pin_height_m(fine, drive.throw_m, drive.rod.length_m, drive.offset_m))
    mid = pressure((fine[1:] + fine[:-1]) / 2)
    work = -drive.piston_area_m2 * float(np.sum(mid * np.diff(height)))
    assert torque.mean() * 4 * math.pi == pytest.approx(work, rel=1e-6)


def test_the_rod_by_newton_and_euler():
    """Forces on the rod's ends against mass times acceleration of its centre and inertia times its turning, all by differences of places."""
    drive, t = SKEWED, np.linspace(0.1, 12.0, 60)
    found = cylinder_forces(t, pressure(t), SPEED, drive)
    r, length, j = drive.throw_m, drive.rod.length_m, drive.rod.centroid_m
    h = 1e-3

    def places(at):
        big = np.stack([r * np.cos(at), r * np.sin(at)], -1)
        pin = np.stack([np.asarray(pin_height_m(at, r, length, drive.offset_m)), np.full_like(at, drive.offset_m)], -1)
        return big, pin, big + (pin - big) * (j / length)

    def second(f):
        return (-f(t - 2 * h) + 16 * f(t - h) - 30 * f(t) + 16 * f(t + h) - f(t + 2 * h)) / (12 * h * h) * SPEED**2

    push = found.shell_n - found.pin_n
    assert push == pytest.approx(drive.rod.mass_kg * second(lambda at: places(at)[2]), abs=1e-6 * np.abs(push).max())
    big, pin, middle = places(t)

    def cross(a, b):
        return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]

    def leaning(at):
        big, pin, _ = places(at)
        return np.arctan2((pin - big)[:, 1], (pin - big)[:, 0])

    moment = cross(big - middle, found.shell_n) + cross(pin - middle, -found.pin_n)
    scale = length * np.abs(found.shell_n).max()
    assert moment == pytest.approx(drive.rod.inertia_kg_m2 * second(leaning), abs=1e-6 * scale)


def test_gas_presses_the_piston_to_the_major_side_on_the_power_stroke():
    t = np.radians(np.linspace(5, 175, 60))
    forces = cylinder_forces(t, 2e6, 0.0, DRIVE)
    assert forces.on_major_side.all()
    assert not cylinder_forces(-t, 2e6, 0.0, DRIVE).on_major_side.any()
    assert (forces.torque_nm > 0.0).all()


def test_at_rest_the_rod_is_a_strut():
    """No inertia: the shell's load lies along the rod, F / cos f."""
    forces = cylinder_forces(ANGLE, 2e6, 0.0, DRIVE)
    along = forces.shell_in_rod_n
    assert np.abs(along[:, 1]).max() < 1e-12 * np.abs(along[:, 0]).max()
    assert along[:, 0] == pytest.approx(forces.gas_n / np.cos(forces.tilt_rad), rel=1e-12)


def test_without_gas_and_offset_up_and_down_are_mirrored():
    forward, back = (cylinder_forces(s * ANGLE, 0.0, SPEED, DRIVE) for s in (1, -1))
    scale = np.abs(forward.shell_n).max()
    assert forward.side_n == pytest.approx(-back.side_n, abs=1e-12 * scale)
    assert forward.torque_nm == pytest.approx(-back.torque_nm, abs=1e-12 * scale)
    assert forward.shell_n == pytest.approx(back.shell_n * [1, -1], abs=1e-12 * scale)


@given(st.floats(100.0, 1000.0), st.floats(0.02, 0.06), st.floats(2.6, 5.0), st.floats(0.1, 0.9), st.floats(0.0, 1.0))
def test_rod_bolts_carry_what_the_pin_pulls_less_the_cap(speed, throw, ratio, centroid, share):
    """At the top: bolts = pull of the crankpin on the cap less what the cap's own acceleration takes (cut free below the split)."""
    length = ratio * throw
    drive = Drive(0.08, throw, Rod(0.6, length, centroid * length), 0.4)
    cap = share * drive.rod.big_kg
    pull = -cylinder_forces(0.0, 0.0, speed, drive).shell_n[0]
    assert rod_bolt_load_n(drive, cap, speed) == pytest.approx(pull - cap * throw * speed**2, rel=1e-12)


def test_the_cap_weighs_less_than_the_big_end():
    with pytest.raises(ValueError, match="mass of the cap"):
        rod_bolt_load_n(DRIVE, 0.5, SPEED)


@pytest.mark.parametrize(
    ("change", "said"),
    [({"piston_kg": 0.0}, "mass of the piston"), ({"bore_m": -1.0}, "bore")],
)
def test_what_cannot_be_is_refused(change, said):
    with pytest.raises(ValueError, match=said):
        replace(DRIVE, **change)
