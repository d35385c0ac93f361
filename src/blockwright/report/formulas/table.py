"""Which functions of the physics floor are offered as formulas: their name in plain words, what they serve, and why others are not offered.

Parameters, units, defaults, meanings and sources stand nowhere here: they are read from the functions.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fnmatch import fnmatchcase


class Group(StrEnum):
    """What a formula serves."""

    WALLS = "pistons and walls"
    RINGS = "rings"
    LANDS = "lands"
    BEARINGS = "bearings"
    OIL = "oil"
    GAS = "gas and cycle"
    CRANK = "crank and rod"
    BOLTS = "bolts and joints"
    COMPRESSION = "compression"
    VALVES = "valves and springs"
    BALANCE = "balance"
    SIZES = "size limits"


@dataclass(frozen=True)
class Offered:
    """One formula: its name, where it lies (`module.function`, `module.Class.method`), its group, the fits that it serves.

    `gives` names the parts of a result that is a bare row of numbers.
    """

    name: str
    where: str
    group: Group
    fits: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()

    @property
    def slug(self) -> str:
        """The name in one piece, as it is typed and as it stands in an address."""
        return self.name.replace(" ", "-")

    @property
    def module(self) -> str:
        """The module that it lies in."""
        return f"blockwright.physics.{self.where.partition('.')[0]}"

    def command(self, inputs: Iterable[tuple[str, str]]) -> str:
        """The command line that reckons it with inputs by name."""
        return " ".join(("blockwright reckon", self.slug, *(f"{key}={shlex.quote(text)}" for key, text in inputs)))


WALL = ("wall clearance",)
GAPS = ("top end gap", "second end gap", "upper rail gap", "lower rail gap")
PRESSURES = ("top ring pressure", "second ring pressure")
SPREADS = ("top ring spread stress", "second ring spread stress")
LANDS = ("second land stress", "third land stress")
FILMS = ("main film", "rod film")
DECK = ("piston to deck",)
SIZED = (
    "pin in piston",
    "pin in bush",
    "pin press",
    "small-end size",
    "big-end size",
    "main journal size",
    "rod journal size",
)

FORMULAS = (
    Offered("hot length", "expansion.hot_length_m", Group.WALLS),
    Offered("hot wall clearance", "expansion.hot_clearance_m", Group.WALLS, WALL),
    Offered("cold wall clearance", "expansion.cold_clearance_for", Group.WALLS, WALL),
    Offered("liner in its housing", "liner.liner_in_housing", Group.WALLS, WALL),
    Offered("bore under gas pressure", "liner.bore_dilation_m", Group.WALLS, WALL),
    Offered("hot ring gap", "expansion.hot_gap_m", Group.RINGS, GAPS),
    Offered("cold ring gap", "expansion.cold_gap_for", Group.RINGS, GAPS),
    Offered("ring gap closing", "expansion.closure_m", Group.RINGS, GAPS),
    Offered("ring pressure", "ring_beam.contact_pressure_pa", Group.RINGS, PRESSURES),
    Offered("ring tangential force", "ring_beam.tangential_force_n", Group.RINGS, PRESSURES),
    Offered("ring opening", "ring_beam.opening_m", Group.RINGS, PRESSURES),
    Offered("ring opening in another bore", "ring_beam.opening_in_bore_m", Group.RINGS, PRESSURES),
    Offered("ring parameter", "ring_beam.ring_parameter", Group.RINGS, PRESSURES),
    Offered("ring closing stress", "ring_beam.closing_stress_pa", Group.RINGS, PRESSURES),
    Offered("ring spread over its piston", "ring_mounting.spread_over", Group.RINGS, SPREADS),
    Offered("ring opening stress", "ring_mounting.opening_stress_pa", Group.RINGS, SPREADS),
    Offered("widest safe ring gap", "ring_mounting.widest_safe_gap_m", Group.RINGS, SPREADS),
    Offered("ring wound on", "ring_mounting.wound_on", Group.RINGS, SPREADS),
    Offered("land bending", "lands.land_bending", Group.LANDS, LANDS),
    Offered("land load", "lands.land_load_pa", Group.LANDS, LANDS),
    Offered("land as a strip", "lands.strip_stress_pa", Group.LANDS, LANDS),
    Offered("hot fatigue strength", "lands.hot_fatigue_strength", Group.LANDS, LANDS),
    Offered("land safety", "lands.land_safety", Group.LANDS, LANDS),
    Offered("steady bearing", "reynolds.steady", Group.BEARINGS, FILMS),
    Offered("steady bearing under a load", "reynolds.steady_under", Group.BEARINGS, FILMS),
    Offered("bearing friction", "reynolds.friction_over_clearance", Group.BEARINGS, FILMS),
    Offered("bearing load in closed form", "bearing_formulas.sommerfeld_closed", Group.BEARINGS, FILMS),
    Offered("bearing squeeze in closed form", "bearing_formulas.squeeze_closed", Group.BEARINGS, FILMS),
    Offered("short bearing load", "bearing_formulas.sommerfeld_short", Group.BEARINGS, FILMS),
    Offered("short bearing attitude", "bearing_formulas.attitude_short_rad", Group.BEARINGS, FILMS),
    Offered("short bearing squeeze", "bearing_formulas.squeeze_short", Group.BEARINGS, FILMS),
    Offered("oil viscosity", "oil.Walther.kinematic_m2_s", Group.OIL, FILMS),
    Offered("oil film viscosity", "oil.film_viscosity_pa_s", Group.OIL, FILMS),
    Offered("oil line", "oil.walther", Group.OIL, FILMS),
    Offered("viscosity index", "oil.viscosity_index", Group.OIL),
    Offered("oil density", "oil.density_kg_m3", Group.OIL),
    Offered("orifice flow", "orifice.orifice_kg_s", Group.GAS),
    Offered("slot flow", "orifice.slot_kg_s", Group.GAS),
    Offered("choking pressure ratio", "orifice.choking_ratio", Group.GAS),
    Offered("choking temperature ratio", "orifice.choking_temperature_ratio", Group.GAS),
    Offered("flow number", "orifice.flow_number", Group.GAS),
    Offered("choked flow number", "orifice.choked_flow", Group.GAS),
    Offered("gas heat ratio", "gas.Gas.gamma", Group.GAS),
    Offered("gas heat capacity", "gas.Gas.cv_j_kg_k", Group.GAS),
    Offered("gas inner energy", "gas.Gas.energy_j_kg", Group.GAS),
    Offered("burnt share", "cycle.wiebe_burnt", Group.GAS),
    Offered("gas to wall heat transfer", "heat_transfer.woschni_w_m2_k", Group.GAS),
    Offered("gas speed", "heat_transfer.gas_speed_m_s", Group.GAS),
    Offered("swept volume", "cycle.Chamber.swept_m3", Group.GAS),
    Offered("volume at the top", "cycle.Chamber.clearance_m3", Group.GAS),
    Offered("cylinder volume", "cycle.Chamber.volume_m3", Group.GAS),
    Offered("cylinder walls", "cycle.Chamber.walls_m2", Group.GAS, (), ("crown", "head", "bare liner")),
    Offered("stroke", "slider_crank.stroke_m", Group.CRANK, DECK),
    Offered("pin height", "slider_crank.pin_height_m", Group.CRANK, DECK),
    Offered("piston travel from the top", "slider_crank.travel_from_top_m", Group.CRANK, DECK),
    Offered("dead centres", "slider_crank.dead_centres_rad", Group.CRANK, (), ("top", "bottom")),
    Offered("pin speed", "slider_crank.pin_speed_m_s", Group.CRANK),
    Offered("pin acceleration", "slider_crank.pin_acceleration_m_s2", Group.CRANK),
    Offered("rod tilt", "slider_crank.rod_tilt_rad", Group.CRANK),
    Offered("mean piston speed", "slider_crank.mean_piston_speed_m_s", Group.CRANK),
    Offered("rod bolt load", "crank_forces.rod_bolt_load_n", Group.CRANK),
    Offered("cylinder forces", "crank_forces.cylinder_forces", Group.CRANK),
    Offered("rod mass at the pin", "crank_forces.Rod.small_kg", Group.CRANK),
    Offered("rod mass at the crankpin", "crank_forces.Rod.big_kg", Group.CRANK),
    Offered("rod inertia left over", "crank_forces.Rod.inertia_left_over_kg_m2", Group.CRANK),
    Offered("reciprocating mass", "crank_forces.Drive.reciprocating_kg", Group.CRANK),
    Offered("crankpin split", "layouts_forces.split_rad", Group.CRANK),
    Offered("thread pitch diameter", "threads.pitch_diameter_m", Group.BOLTS),
    Offered("thread root diameter", "threads.root_diameter_m", Group.BOLTS),
    Offered("thread stress diameter", "threads.stress_diameter_m", Group.BOLTS),
    Offered("thread stress area", "threads.stress_area_m2", Group.BOLTS),
    Offered("bolt strength", "threads.strength_of_class", Group.BOLTS),
    Offered("proof load", "threads.proof_load_n", Group.BOLTS),
    Offered("bolt stiffness", "threads.bolt_stiffness_n_m", Group.BOLTS),
    Offered("tightening torque", "bolts.tightening_torque_nm", Group.BOLTS),
    Offered("preload from torque", "bolts.preload_from_torque_n", Group.BOLTS),
    Offered("preload spread", "bolts.preload_spread", Group.BOLTS),
    Offered("preload at yield", "bolts.preload_at_yield_n", Group.BOLTS),
    Offered("torque through the thread", "bolts.thread_torque_nm", Group.BOLTS),
    Offered("tightening stress", "bolts.tightening_stress_pa", Group.BOLTS),
    Offered("nut factor", "bolts.nut_factor", Group.BOLTS),
    Offered("torque by nut factor", "bolts.torque_by_nut_factor_nm", Group.BOLTS),
    Offered("turn for a preload", "joints.turn_for_preload_rad", Group.BOLTS),
    Offered("preload after a turn", "joints.preload_after_turn_n", Group.BOLTS),
    Offered("joint stiffness", "joints.joint_stiffness_n_m", Group.BOLTS),
    Offered("clamped cone stiffness", "joints.cone_stiffness_n_m", Group.BOLTS),
    Offered("bolt share of load", "joints.bolt_share", Group.BOLTS),
    Offered("load on a bolt", "joints.bolt_load_n", Group.BOLTS),
    Offered("clamp left", "joints.clamp_left_n", Group.BOLTS),
    Offered("separation load", "joints.separation_load_n", Group.BOLTS),
    Offered("separation margin", "joints.separation_margin", Group.BOLTS),
    Offered("bolt stress", "joints.bolt_stress_pa", Group.BOLTS),
    Offered("bolt growth in use", "joints.growth_in_use", Group.BOLTS),
    Offered("compression ratio", "compression.Space.ratio", Group.COMPRESSION, DECK),
    Offered("compression volume", "compression.Space.clearance_m3", Group.COMPRESSION),
    Offered("top land crevice", "compression.Space.crevice_m3", Group.COMPRESSION),
    Offered("volume for a ratio", "compression.clearance_for_ratio_m3", Group.COMPRESSION),
    Offered("change for a ratio", "compression.change_for_ratio", Group.COMPRESSION),
    Offered("effective compression ratio", "compression.effective_ratio", Group.COMPRESSION),
    Offered("volume at an angle", "compression.volume_at_m3", Group.COMPRESSION),
    Offered("deck on the pin axis", "compression.deck_on_pin_m", Group.COMPRESSION, DECK),
    Offered("throw for a stroke", "compression.throw_for_stroke_m", Group.CRANK),
    Offered("lobe separation", "valve_motion.separation_rad", Group.VALVES),
    Offered("cam advance", "valve_motion.advance_rad", Group.VALVES),
    Offered("cam timing error", "valve_motion.timing_error_rad", Group.VALVES),
    Offered("bucket shim", "valve_motion.bucket_shim_m", Group.VALVES),
    Offered("finger shim", "valve_motion.finger_shim_m", Group.VALVES),
    Offered("rocker screw turn", "valve_motion.rocker_turn_rad", Group.VALVES),
    Offered("harmonic valve lift", "valve_to_piston.harmonic_lift_m", Group.VALVES),
    Offered("valve spring fitted", "springs.spring_fitted", Group.VALVES),
    Offered("spring rate", "springs.spring_rate_n_m", Group.VALVES),
    Offered("spring rate from loads", "springs.rate_from_loads_n_m", Group.VALVES),
    Offered("spring height for a load", "springs.height_for_load_m", Group.VALVES),
    Offered("spring wire stress", "springs.wire_stress_pa", Group.VALVES),
    Offered("spring stress factor", "springs.wahl_factor", Group.VALVES),
    Offered("coil bind margin", "springs.bind_margin_m", Group.VALVES),
    Offered("retainer margin", "springs.retainer_margin_m", Group.VALVES),
    Offered("spring surge", "springs.surge_hz", Group.VALVES),
    Offered("spring surge order", "springs.surge_order", Group.VALVES),
    Offered("weighed rod", "balancing.weighed_rod", Group.BALANCE),
    Offered("bobweight", "balancing.bobweight_kg", Group.BALANCE),
    Offered("shake left by a bobweight", "balancing.shake_left", Group.BALANCE),
    Offered("permissible unbalance", "balancing.permissible_unbalance_kg_m", Group.BALANCE),
    Offered("unbalance of two planes", "balancing.plane_limits", Group.BALANCE),
    Offered("correction mass", "balancing.correction_mass_kg", Group.BALANCE),
    Offered("balance drill depth", "balancing.drill_depth_m", Group.BALANCE),
    Offered("limits of size", "iso286.limits_of_size", Group.SIZES, SIZED, ("lower limit", "upper limit")),
)  # fmt: skip

MADE_BY: Mapping[str, str] = {"blockwright.physics.oil.Walther": "walther"}
"""Things that nobody knows by their own numbers: the function, in the same module, whose inputs are asked for in their place."""
CHOSEN: Mapping[str, Mapping[str, str]] = {
    "blockwright.physics.gas.Gas": {"air": "mixture:AIR", "burnt gas": "mixture:BURNT"}
}
"""Things that are chosen by name: for each name the function, in the same module, and the constant that it is given."""

CURVES = "works on a whole cycle of values, not on single ones"
INNER = "a step inside another formula that is offered"
OF_A_RESULT = "belongs to a result over many angles or places"
PIECES = "takes a bolt in several pieces"
LIFTS = "takes a whole table of lifts"
A_SET = "takes a whole set of parts"
PROGRAM = "no formula: part of how the program runs"
NOT_OFFERED: Mapping[str, str] = {
    "heat_network.*": "takes a whole network of places and ways",
    "guards.*": "no formula: keeps numbers within the range of others",
    "compiled.*": PROGRAM,
    "mobility.*": "makes and keeps tables for moving loads",
    "journal_orbit.*": CURVES,
    "plain_bearing.*": CURVES,
    "ring_pack*": CURVES,
    "layouts_forces.firing_angles_rad": "takes a whole firing order",
    "layouts_forces.placed": "takes all cylinders at once",
    "layouts_forces.train_forces": CURVES,
    "layouts_forces.free_forces": "takes a whole crank",
    "layouts_forces.TrainForces.*": OF_A_RESULT,
    "layouts_forces.FreeForces.*": OF_A_RESULT,
    "crank_forces.turned": INNER,
    "crank_forces.Forces.*": "shown with the cylinder forces",
    "crank_forces.Drive.piston_area_m2": INNER,
    "cycle.run_cycle": CURVES,
    "cycle.Cycle.*": OF_A_RESULT,
    "cycle.Chamber.piston_area_m2": INNER,
    "cycle.Chamber.stroke_m": "offered as the stroke of crank and rod",
    "gas.mixture": "takes a list of gases; air and burnt gas are chosen by name",
    "heat_transfer.plain_woschni": "the heat transfer formula without its checks",
    "liner.Tube.*": INNER,
    "orifice.flow_squared": INNER,
    "orifice.slot_ease": INNER,
    "reynolds.squeeze": "gives the pressure at every place of a bearing",
    "reynolds.Pressure.*": OF_A_RESULT,
    "reynolds.Steady.*": "shown with the steady bearing",
    "ring_mounting.Winding.*": "shown with the ring wound on",
    "threads.stretch_m": PIECES,
    "threads.preload_by_stretch_n": PIECES,
    "threads.stiffness_n_m": PIECES,
    "joints.stack_stiffness_n_m": "takes several layers",
    "bolts.PreloadSpread.*": "shown with the preload spread",
    "springs.Spring.*": "offered for the measures of a spring, without its ends",
    "compression.ratio_of": "the compression ratio formula without its volumes",
    "compression.Space.swept_m3": "offered as the swept volume",
    "compression.Space.over_crown_m3": INNER,
    "compression.Space.in_gasket_m3": INNER,
    "compression.Space.quench_m": "deck and gasket added, and no more",
    "valve_motion.LiftTable.*": LIFTS,
    "valve_to_piston.axial_distance_m": LIFTS,
    "valve_to_piston.radial_distance_m": INNER,
    "valve_to_piston.nearest": LIFTS,
    "valve_to_piston.harmonic_nearest": "a check of the search, not for use",
    "valve_to_piston.Crank.*": "offered as the piston's travel from the top",
    "balancing.set_spread_kg": A_SET,
    "balancing.over_the_lightest_kg": A_SET,
    "balancing.corrections": "takes several weights in their places",
    "balancing.WeighedRod.*": "makes a rod for other formulas",
}  # fmt: skip
"""Why a public function is not offered; `*` stands for all of a module or a class."""


def reason(where: str) -> str:
    """Why a function is not offered; blank where nothing is said."""
    return next((why for pattern, why in NOT_OFFERED.items() if fnmatchcase(where, pattern)), "")


def serving(fit_name: str) -> tuple[Offered, ...]:
    """The formulas that serve a fit, the nearest first."""
    return tuple(each for each in FORMULAS if fit_name in each.fits)
