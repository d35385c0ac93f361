"""Forces of one cylinder over the crank's angle, with the sides of the bore that they press; and the torque of the whole crank."""

from __future__ import annotations

from blockwright.report.colours import SHADE, STEEL
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import (
    FULL,
    LEFT,
    LOOKS,
    WIDTH,
    Panel,
    area,
    crank_scale,
    curve,
    dot,
    foot,
    frame,
    level,
    linear,
    strokes,
)
from blockwright.report.pictures.at_work.labels import Room, along, around, heading
from blockwright.report.pictures.drawing import document
from blockwright.running.work.result import Curve, ForcesTold, Spread, Work

GAS_TALL, SIDE_TALL, TORQUE_TALL = 130.0, 210.0, 180.0
NEXT = 74.0


def thrust_picture(work: Work) -> str:
    """SVG of gas force and side thrust of a cylinder (kN), and torque of the whole crank (N m), over the crank's angle."""
    forces = work.forces
    said = sentence(forces)
    head, y = heading("Side thrust and torque", said)
    gas, first = _gas(forces, y + 44)
    side, second = _side(forces, first.y.start + NEXT)
    torque, third = _torque(forces, second.y.start + NEXT + 42)
    title = "Gas force, side thrust and torque over the crank's angle"
    return document(WIDTH, third.y.start + 58, (title, said), [*head, *gas, *side, *torque], name="work-thrust")


def sentence(forces: ForcesTold) -> str:
    """The thrust in one sentence."""
    major, minor = (_told(each) for each in (forces.largest_major_n, forces.largest_minor_n))
    bolts = _told(forces.rod_bolts_n)
    return (
        f"The piston presses the major side with up to {major} and the minor side with up to {minor}; "
        f"at the redline the bolts of a rod bear {bolts} together."
    )


def _told(force: Spread) -> str:
    return told.kilonewton(force.value, force.sd)


def _gas(forces: ForcesTold, top: float) -> tuple[list[str], Panel]:
    panel, points, room = _drawn(forces, forces.gas_n, told.N_PER_KN, top, GAS_TALL, floor=0.0)
    drawn = [*frame(panel, "gas force on the piston, kN"), curve(points, LOOKS[0])]
    if points:
        i = max(range(len(forces.gas_n)), key=lambda k: forces.gas_n[k])
        drawn += _marked(panel, room, forces.angle_deg[i], forces.gas_n[i], told.kilonewton(forces.gas_n[i]))
    return [*drawn, *foot(panel, "", suffix="°")], panel


def _side(forces: ForcesTold, top: float) -> tuple[list[str], Panel]:
    """The thrust: above the middle line the major side is pressed, below it the minor side."""
    panel, points, room = _drawn(forces, forces.side_n, told.N_PER_KN, top, SIDE_TALL)
    room.cross([(LEFT, panel.y.at(0.0)), (FULL, panel.y.at(0.0))])
    drawn = [
        area(panel, points, above=True, fill=SHADE),
        area(panel, points, above=False, fill=STEEL),
        *frame(panel, "side thrust on the bore, kN"),
        level(panel, 0.0, dash=""),
        curve(points, LOOKS[0]),
    ]
    if points:
        most, least = (pick(range(len(forces.side_n)), key=lambda k: forces.side_n[k]) for pick in (max, min))
        drawn += _marked(panel, room, forces.angle_deg[most], forces.side_n[most], _told(forces.largest_major_n))
        drawn += _marked(panel, room, forces.angle_deg[least], forces.side_n[least], _told(forces.largest_minor_n))
    for said, y in (("major side pressed", top + 17), ("minor side pressed", top + SIDE_TALL - 7)):
        drawn.append(room.put(along(LEFT + 6, FULL - 6, y), said, bold=False))
    return [*drawn, *strokes(panel, "crank angle from the cylinder's firing top")], panel


def _torque(forces: ForcesTold, top: float) -> tuple[list[str], Panel]:
    """The torque of the whole crank, and its mean."""
    panel, points, room = _drawn(forces, forces.torque_nm, 1.0, top, TORQUE_TALL, floor=0.0, steps=6, room=0.2)
    mean = sum(forces.torque_nm) / (len(forces.torque_nm) or 1)
    drawn = [*frame(panel, f"torque of the whole crank, N m; dashed: mean {mean:.0f}".replace("-", told.MINUS))]
    if points:
        drawn += [level(panel, mean), curve(points, LOOKS[0])]
        i = max(range(len(forces.torque_nm)), key=lambda k: forces.torque_nm[k])
        drawn += _marked(panel, room, forces.angle_deg[i], forces.torque_nm[i], f"{forces.torque_nm[i]:.0f} N m", 1.0)
    return [*drawn, *foot(panel, "crank angle from firing top of cylinder 1", suffix="°")], panel


def _drawn(
    forces: ForcesTold,
    values: Curve,
    per: float,
    top: float,
    tall: float,
    *,
    floor: float | None = None,
    steps: int = 4,
    room: float = 0.06,
) -> tuple[Panel, list[tuple[float, float]], Room]:
    """A panel for a curve over the angle, where the curve lies in it, and the room about it."""
    numbers = [value / per for value in values]
    up = linear([*numbers, 0.0], top + tall, top, floor=floor, steps=steps, room=room)
    panel = Panel(crank_scale(forces.angle_deg, FULL), up)
    points = panel.points(forces.angle_deg, numbers)
    about = Room((LEFT + 4, top - 4, FULL, top + tall + 4))
    about.cross(points)
    return panel, points, about


def _marked(
    panel: Panel, room: Room, angle_deg: float, value: float, said: str, per: float = told.N_PER_KN
) -> list[str]:
    at = panel.x.at(angle_deg), panel.y.at(value / per)
    return [dot(*at), room.put(around(*at), f"{said} at {told.degrees(angle_deg)}")]
