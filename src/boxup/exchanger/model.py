"""What an exchanger file describes. Every number is a Quantity with its grade, or None where nobody gave it.

The field names are the keys of the file. Nothing here is computed; what may be assumed is added by `assumed.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from boxup.core.calculation import number, word
from boxup.core.quantity import GRADES, Quantity
from boxup.exchanger.letters import Letters
from boxup.exchanger.wall import Wall

SideName = Literal["shell", "tube"]
SIDES: tuple[SideName, ...] = ("shell", "tube")
# Bounds of sense: beyond them a unit or a power of ten was mistyped, or it is no exchanger of these letters.
MOST_PRESSURE, COLDEST, HOTTEST = 100.0, -273.0, 1200.0  # MPa, degC
MOST_RATIO = 10.0  # allowable stress at test over that at design temperature; a metal that loses nine tenths of its strength holds nothing
HIGHEST_GAUGE = 200.0  # m of the gauge below the top


def _num(symbol: str, label: str, unit: str, **bounds: Any) -> Any:
    return number(symbol, label, unit, optional=True, **bounds)


def _opt(label: str, accepted: tuple[str, ...] = ()) -> Any:
    return word(label, ("", *accepted) if accepted else (), default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """[exchanger]: the plate and the drawing."""

    tag: str = word("tag")
    type: str = word("TEMA letters")
    plant: str = _opt("plant")
    unit: str = _opt("process unit")
    bundle_serial: str = _opt("serial number stamped on the bundle")
    drawing: str = _opt("drawing number")
    revision: str = _opt("drawing revision")
    year: str = _opt("year built")
    position: str = word("position", ("horizontal", "vertical"), default="horizontal")
    upper_end: str = _opt("where it stands upright: the end that is up", ("front", "rear"))
    made_up: str = word("yes for an invented exchanger", ("yes", "no"), default="no")
    job: str = _opt("job number")
    job_scope: str = _opt("what is done this time")
    crew_lead: str = _opt("crew lead")
    inspector: str = _opt("inspector")
    grade: str = _opt("how well the values of the file are known unless they say otherwise", GRADES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """[shell_side] and [tube_side]: what the side carries and how far it may be pressed."""

    name: SideName
    fluid: str = _opt("what it carries")
    hazards: str = _opt("what it does to people: words for the cover of the pack")
    mawp: Quantity | None = _num("MAWP", "maximum allowable working pressure", "MPa", above=0, most=MOST_PRESSURE)
    design_temperature: Quantity | None = _num("T_d", "design temperature", "degC", least=COLDEST, most=HOTTEST)
    mdmt: Quantity | None = _num("MDMT", "minimum design metal temperature", "degC", least=COLDEST, most=HOTTEST)
    material: str = _opt("material of the pressure parts")
    stress_test: Quantity | None = _num("S_t", "allowable stress at test temperature, governing part", "MPa", above=0)
    stress_design: Quantity | None = _num("S_d", "allowable stress at design temperature, governing part", "MPa", above=0)
    governing_part: str = _opt("the part with the lowest ratio of the two stresses")
    test_limit: Quantity | None = _num("P_max", "highest pressure any part of this side may see on test", "MPa", above=0)
    limit_reason: str = _opt("which part sets that limit")
    chloride_limit_mg_per_l: Quantity | None = _num("Cl", "chloride limit of the test water, mg/L", "count", above=0)
    test_rule: str = word("multiple of MAWP for the test, or EN 13445-5", ("1.3", "1.5", "EN"), default="1.3")
    test_height: Quantity | None = _num("H_w", "height under test, highest point to lowest", "mm", above=0, most=2e5)
    test_gauge_below_top: Quantity | None = _num("h", "test gauge below the highest point of the side", "m", least=0, most=HIGHEST_GAUGE)
    fill_rate: Quantity | None = _num("q_f", "water the filling hose or pump gives", "L/min", above=0, most=1e5)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoreReading:
    """The bore of the shell as measured at one place: how far from the front flange face, the least and the greatest diameter there."""

    at: Quantity
    least: Quantity
    most: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """[shell]."""

    inside_diameter: Quantity | None = _num("D_s", "shell inside diameter", "mm", above=0)
    wall: Quantity | None = _num("t_s", "shell wall", "mm", above=0)
    length: Quantity | None = _num("L_s", "shell length, flange face to flange face", "mm", above=0)
    port_diameter: Quantity | None = _num("D_k", "kettle port diameter", "mm", above=0)
    end: str = _opt("closed rear end of the shell (U, some K)", ("ellipsoidal", "dished", "flat"))
    slope: Quantity | None = _num("alpha", "slope of the shell, uphill going in +", "deg", least=-45, most=45)
    measured_bore: tuple[BoreReading, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """[channel], [channel_cover], [rear_head], [rear_cover], [floating_head], [shell_cover]: a part that is lifted on its own."""

    inside_diameter: Quantity | None = _num("D", "inside diameter", "mm", above=0)
    outside_diameter: Quantity | None = _num("A", "outside diameter", "mm", above=0)
    wall: Quantity | None = _num("t", "wall", "mm", above=0)
    length: Quantity | None = _num("L", "length, straight part", "mm", above=0)
    thickness: Quantity | None = _num("T", "thickness of a flat cover", "mm", above=0)
    shape: str = _opt("shape of the end", ("open", "flat", "ellipsoidal", "dished"))
    pass_plate: Quantity | None = _num("t_p", "pass plate thickness", "mm", above=0)
    mass: Quantity | None = _num("m", "mass as lifted", "kg", above=0)
    lifting_points: str = _opt("lifting points as the drawing shows them")


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeRow:
    """One row of holes: its height over the centre line, how many holes, centred, and the pass."""

    y: Quantity
    holes: int
    tube_pass: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tubes:
    """[tubes]. For U-tubes `count` is the number of holes (legs)."""

    od: Quantity | None = _num("d_o", "tube outside diameter", "mm", above=0)
    wall: Quantity | None = _num("t_t", "tube wall", "mm", above=0)
    length: Quantity | None = _num("L_t", "straight tube length", "mm", above=0)
    count: Quantity | None = _num("N_t", "tube holes in a tubesheet", "count", above=0)
    pitch: Quantity | None = _num("p", "pitch", "mm", above=0)
    pattern: Quantity | None = _num("angle", "pattern angle: 30, 45, 60 or 90", "count", above=0)
    passes: Quantity | None = _num("n_p", "tube passes", "count", above=0)
    layout: str = _opt("how the passes lie", ("plain", "band", "quadrant", "two-column", "zigzag"))
    lane: Quantity | None = _num("lane", "between tube centres across a pass plate", "mm", above=0)
    outer_limit: Quantity | None = _num("OTL", "outer tube limit", "mm", above=0)
    material: str = _opt("tube material")
    density: Quantity | None = _num("rho_t", "density of the tube metal", "kg/m3", above=0)
    least_wall: Quantity | None = _num("t_w", "least wall measured in tubes that stay in use", "mm", above=0)
    yield_strength: Quantity | None = _num("S_y", "yield strength of the tube metal, at least", "MPa", above=0, most=2000)
    outside_limit: Quantity | None = _num("P_out", "the most the tubes may see from outside with nothing in them", "MPa", above=0)
    differential_limit: Quantity | None = _num("dP_max", "the most between the two sides, where they are designed for a difference", "MPa",
                                               above=0)  # fmt: skip
    wall_loss_limit: Quantity | None = _num("L_max", "most wall loss of a tube that stays in use, site's limit", "-", above=0, most=1)
    plug_limit: Quantity | None = _num("p_max", "most of the tubes of a pass that may be plugged, site's limit", "-", above=0, most=1)
    roll_reduction: Quantity | None = _num("w", "wall reduction the procedure rolls to, share of twice the wall", "-", above=0, most=0.2)
    rows: tuple[TubeRow, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Tubesheet:
    """[stationary_tubesheet] and [floating_tubesheet] (the rear one of a fixed exchanger too)."""

    outside_diameter: Quantity | None = _num("D_ts", "tubesheet outside diameter", "mm", above=0)
    thickness: Quantity | None = _num("t_ts", "tubesheet thickness", "mm", above=0)
    hole: Quantity | None = _num("d_h", "tube hole", "mm", above=0)
    minimum_thickness: Quantity | None = _num("t_min", "least thickness allowed", "mm", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Baffles:
    """[baffles]: single segmental unless said otherwise."""

    count: Quantity | None = _num("n_b", "baffles", "count", least=0)
    spacing: Quantity | None = _num("s_b", "baffle spacing", "mm", above=0)
    cut: Quantity | None = _num("f_b", "cut, as a fraction of the shell bore", "-", above=0, most=0.5)
    cut_direction: str = _opt("cut direction", ("horizontal", "vertical"))
    first_cut: str = _opt("where the cut of the first baffle is", ("up", "down", "left", "right"))
    thickness: Quantity | None = _num("t_b", "baffle thickness", "mm", above=0)
    outside_diameter: Quantity | None = _num("D_b", "baffle outside diameter", "mm", above=0)
    hole: Quantity | None = _num("d_b", "baffle hole", "mm", above=0)
    first_position: Quantity | None = _num("x_b", "first baffle from the inner face of the stationary tubesheet", "mm", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleParts:
    """[bundle]: the rest of it, and how it goes in."""

    rods_bars_mass: Quantity | None = _num("m_r", "tie rods, spacers, sliding bars, strips", "kg", least=0)
    impingement_mass: Quantity | None = _num("m_i", "impingement plate", "kg", least=0)
    tie_rods: Quantity | None = _num("n_tr", "tie rods", "count", least=0, most=40)
    weighed_mass: Quantity | None = _num("m_w", "bundle as weighed, dry", "kg", above=0)
    fouling_mass: Quantity | None = _num("m_f", "dirt left on the bundle when it is lifted", "kg", least=0)
    water_mass: Quantity | None = _num("m_v", "water left in or on the bundle when it is lifted", "kg", least=0)
    friction_low: Quantity | None = _num("mu_1", "friction, clean and greased bars", "-", above=0, most=2)
    friction_high: Quantity | None = _num("mu_2", "friction, dry or dirty", "-", above=0, most=2)
    match_mark: str = _opt("match mark and where it stands")
    impingement_plate: str = _opt("where the impingement plate is")
    sliding_bars: str = _opt("sliding bars: how many and where")
    plates_under: str = _opt("shell inlets that have an impingement plate on the bundle, or none")
    bars_at: str = _opt("clock positions of the sliding bars")
    notches_at: str = _opt("clock positions of drain and vent notches in the baffles")
    mark_at: str = _opt("clock position of the match mark")
    dowel_at: str = _opt("clock position of the dowel or the odd stud that lets the tubesheet on one way only, or none")
    long_baffle: str = _opt("how a baffle along the bundle lies", ("horizontal", "vertical"))
    sealing_strips: Quantity | None = _num("n_ss", "sealing strips", "count", least=0)
    sling_points_m: Quantity | None = _num("x_s1", "first sling from the outer face of the stationary tubesheet", "m", above=0)
    sling_points_far_m: Quantity | None = _num("x_s2", "second sling from there", "m", above=0)
    hook_height: Quantity | None = _num("h", "hook above the picks", "m", above=0)
    sling_width: Quantity | None = _num("b", "width of a sling, or length of a saddle, along the bundle", "mm", above=0, most=3000)
    tube_stress_share: Quantity | None = _num("f_y", "share of yield the tubes may bend to while they hang", "-", above=0, most=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """[service]: the lines of the data sheet that say what it is for. Nothing here is ever assumed; without it no duty is given."""

    tube_flow: Quantity | None = _num("W_t", "flow of the tube side", "kg/s", above=0, most=1e5)
    tube_inlet: Quantity | None = _num("T_t", "tube side inlet", "degC", least=COLDEST, most=HOTTEST)
    tube_density: Quantity | None = _num("rho", "density in the tubes, at their mean temperature", "kg/m3", above=0, most=2e4)
    tube_viscosity: Quantity | None = _num("mu", "viscosity in the tubes, at their mean temperature", "mPa.s", above=0, most=1e5)
    tube_heat_capacity: Quantity | None = _num("c_t", "heat capacity in the tubes", "kJ/kg.K", above=0, most=100)
    tube_conductivity: Quantity | None = _num("k_t", "conductivity in the tubes", "W/m.K", above=0, most=1000)
    tube_fouling: Quantity | None = _num("r_si", "fouling in the tubes", "m2.K/W", least=0, most=1)
    wall_conductivity: Quantity | None = _num("k_w", "conductivity of the tube metal", "W/m.K", above=0, most=1000)
    shell_inlet: Quantity | None = _num("T_s", "shell side inlet", "degC", least=COLDEST, most=HOTTEST)
    shell_holds: str = _opt("the shell fluid boils or condenses, at its inlet temperature", ("yes", "no"))
    shell_flow: Quantity | None = _num("W_s", "flow of the shell side", "kg/s", above=0, most=1e5)
    shell_heat_capacity: Quantity | None = _num("c_s", "heat capacity in the shell", "kJ/kg.K", above=0, most=100)
    shell_fouling: Quantity | None = _num("r_so", "fouling outside the tubes", "m2.K/W", least=0, most=1)
    shell_film: Quantity | None = _num("h_o", "heat transfer outside the tubes", "W/m2.K", above=0, most=1e6)
    design_duty: Quantity | None = _num("Q_d", "design duty, every tube open", "kW", above=0, most=1e7)
    roughness: Quantity | None = _num("e_r", "roughness of the tube bore", "mm", least=0, most=1)
    losses: Quantity | None = _num("K_n", "velocity heads lost at the ends, each pass", "-", least=0, most=20)
    most_velocity: Quantity | None = _num("v_max", "the most in the tubes, as the site says", "m/s", above=0, most=100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nozzle:
    """[nozzle.N1]."""

    id: str
    side: str = word("side", ("shell", "tube"))
    duty: str = _opt("inlet or outlet, and what")
    size: str = _opt("nominal size, for example 10 in")
    flange_class: str = _opt("flange class", ("150", "300", "600", "900", "1500"))
    clock: Quantity | None = _num("clock", "clock position seen from the front: 12 is up", "count", above=0, most=12)
    position: Quantity | None = _num("x", "from the inner face of the stationary tubesheet, rearward +", "mm")
    gasket: str = _opt("gasket kind of this flange")
    shared_with: str = _opt("tag of the stacked neighbour this nozzle is bolted to, without a spool")
    studs: Quantity | None = _num("n", "studs", "count", above=0)
    stud_size: str = _opt("stud size")
    stud_grade: str = _opt("stud grade")
    lubricant: str = _opt("lubricant")
    nut_factor: Quantity | None = _num("K", "nut factor", "-", above=0, most=1)
    target_stress: Quantity | None = _num("S_b", "target stud stress, on the area named in stress_area", "MPa", above=0)
    stress_area: str = _opt("area the target stress is on; root, and said so, where nothing is said", ("root", "tensile"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """[small_bore.V1]: a vent, drain, thermowell, gauge point. A weep hole of a lantern ring stays open, also on test."""

    id: str
    side: str = word("side", ("shell", "tube"))
    kind: str = word("kind", ("vent", "drain", "thermowell", "gauge point", "plug", "weep hole"))
    size: str = _opt("size")
    clock: Quantity | None = _num("clock", "clock position seen from the front", "count", above=0, most=12)
    position: Quantity | None = _num("x", "from the inner face of the stationary tubesheet, rearward +", "mm")
    on: str = _opt("part it stands on: shell, shell cover, channel, channel cover, bonnet, rear bonnet, lantern ring, or nozzle N1")
    place: str = _opt("where, in words")


@dataclass(frozen=True, slots=True, kw_only=True)
class Blind:
    """[blind.B1]: a process blind keeps the plant out; a test blind keeps the test water in.

    `at`: a process blind sits at the nozzle flange itself, or at the far end of the spool, which can then be dropped with the blind in.
    """

    id: str
    use: str = word("use", ("process", "test"))
    nozzle: str = word("the nozzle it closes")
    at: str = word("where a process blind sits", ("nozzle", "far end"), default="nozzle")
    size: str = _opt("nominal size")
    flange_class: str = _opt("flange class", ("150", "300", "600", "900", "1500"))
    thickness: Quantity | None = _num("t", "thickness", "mm", above=0)
    line: str = _opt("line number or where it leads")
    kind: str = _opt("kind", ("spade", "spectacle", "blind flange", "test blank"))
    rated: Quantity | None = _num("P", "pressure it is rated for cold", "MPa", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gasket:
    """[gasket.G1]: one item of the set. `follows`: the exchanger (its tag) or the bundle (its serial)."""

    id: str
    joint: str = word("joint it belongs to")
    follows: str = word("what it follows", ("exchanger", "bundle"), default="exchanger")
    kind: str = _opt("kind, for example kammprofile")
    metal: str = _opt("core or winding metal")
    facing: str = _opt("facing or filler")
    od: Quantity | None = _num("G_o", "gasket outside diameter", "mm", above=0)
    id_: Quantity | None = _num("G_i", "gasket inside diameter", "mm", above=0)
    thickness: Quantity | None = _num("t_g", "gasket thickness", "mm", above=0)
    rib_width: Quantity | None = _num("w_r", "rib width", "mm", above=0)
    m: Quantity | None = _num("m", "gasket factor", "-", least=0)
    y: Quantity | None = _num("y", "seating stress of the code", "MPa", least=0)
    seating_stress: Quantity | None = _num("S_gs", "least gasket stress at assembly", "MPa", above=0)
    operating_stress: Quantity | None = _num("S_go", "least gasket stress under pressure", "MPa", above=0)
    crush_stress: Quantity | None = _num("S_gx", "most gasket stress", "MPa", above=0)
    target_stress: Quantity | None = _num("S_gT", "gasket stress aimed at", "MPa", above=0)
    retained: Quantity | None = _num("phi_g", "share of its load it keeps once it has relaxed", "-", above=0, most=1)
    rotation: Quantity | None = _num("theta_g", "most the flanges may rotate under it", "deg", above=0, most=10)
    unloading_modulus: Quantity | None = _num("E_g", "modulus as it is unloaded, at its load", "MPa", least=1, most=3e5)
    spares: Quantity | None = _num("n_s", "spares ordered", "count", least=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Studs:
    """[studs.S1]: one set of studs; `joints` it clamps (J2 and J3 share one set)."""

    id: str
    joints: tuple[str, ...] = field(default=(), metadata={"label": "joints this set clamps"})
    count: Quantity | None = _num("n", "studs", "count", above=0)
    size: str = _opt("stud size, for example 1-8")
    grade: str = _opt("stud grade, for example B7")
    nut: str = _opt("nut grade")
    length: Quantity | None = _num("l", "stud length", "mm", above=0)
    bolt_circle: Quantity | None = _num("C", "bolt circle", "mm", above=0)
    lubricant: str = _opt("lubricant, as on the tin")
    nut_factor: Quantity | None = _num("K", "nut factor of that lubricant", "-", above=0, most=1)
    target_stress: Quantity | None = _num("S_b", "target stud stress, on the area named in stress_area", "MPa", above=0)
    stress_area: str = _opt("area the target stress is on; root, and said so, where nothing is said", ("root", "tensile"))
    target_from: str = _opt("who set the target and where it is written")
    least_stress: Quantity | None = _num("S_b1", "least stud stress the site works to, on the same area", "MPa", above=0)
    most_stress: Quantity | None = _num("S_b2", "most stud stress the site works to, on the same area", "MPa", above=0)
    grip: Quantity | None = _num("l_g", "stack the nuts clamp, nut face to nut face", "mm", above=0)
    tool: str = _opt("tool")


FLANGED = ("channel", "channel cover", "shell", "shell cover", "floating head", "backing ring", "rear head", "rear cover", "tubesheet")
FLANGE_TYPES = ("integral", "loose", "lap", "ring", "flat cover", "dished cover", "backing ring")


@dataclass(frozen=True, slots=True, kw_only=True)
class Flange:
    """[flange.F1]: one flange, backing ring or bolted cover of a joint, as the drawing shows it."""

    id: str
    joint: str = word("joint it belongs to")
    part: str = word("the part it is on", FLANGED)
    type: str = _opt("how it carries the load", FLANGE_TYPES)
    halves: str = _opt("backing ring: in one piece, one split ring, two split rings", ("one piece", "one split ring", "two split rings"))
    od: Quantity | None = _num("A", "outside diameter", "mm", above=0)
    bore: Quantity | None = _num("B", "inside diameter", "mm", above=0)
    thickness: Quantity | None = _num("t", "thickness", "mm", above=0)
    hub_small: Quantity | None = _num("g_0", "hub at its thin end", "mm", above=0)
    hub_large: Quantity | None = _num("g_1", "hub at the back of the flange", "mm", above=0)
    hub_length: Quantity | None = _num("h", "hub length", "mm", above=0)
    crown_radius: Quantity | None = _num("L", "inside radius of a dished cover", "mm", above=0)
    head_thickness: Quantity | None = _num("t_h", "thickness of the dish", "mm", above=0)
    head_lever: Quantity | None = _num("h_r", "lever of the dish about the middle of the ring, + where its pull relieves the ring", "mm")
    bearing_diameter: Quantity | None = _num("D_r", "middle of the land a backing ring bears on", "mm", above=0)
    material: str = _opt("material")
    allowable_design: Quantity | None = _num("S_fo", "allowable stress at design temperature", "MPa", above=0)
    allowable_ambient: Quantity | None = _num("S_fa", "allowable stress at room temperature", "MPa", above=0)
    yield_ambient: Quantity | None = _num("S_yf", "yield strength at room temperature", "MPa", above=0)
    yield_design: Quantity | None = _num("S_yo", "yield strength at design temperature", "MPa", above=0)
    modulus_design: Quantity | None = _num("E_o", "modulus at design temperature", "GPa", least=10, most=500)
    modulus_ambient: Quantity | None = _num("E_a", "modulus at room temperature", "GPa", least=10, most=500)
    recess_od: Quantity | None = _num("D_ro", "outside diameter of the recess the gasket lies in", "mm", above=0)
    recess_id: Quantity | None = _num("D_ri", "inside diameter of that recess", "mm", above=0)
    recess_depth: Quantity | None = _num("d_r", "depth of that recess", "mm", above=0)
    rib_land: Quantity | None = _num("w_p", "width of the pass plate edge under a rib", "mm", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A bolted joint the letters call for, with its gasket and studs where the file gives them."""

    id: str
    kind: str
    between: str
    sides: tuple[SideName, ...]
    gasket: Gasket | None = None
    studs: Studs | None = None
    flanges: tuple[Flange, ...] = ()
    ribs_end: str = ""  # "front" or "rear" where the gasket carries the pass ribs of that end


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """[tool.W1]: a wrench, pump or gauge as the tool room lists it."""

    id: str
    kind: str = word("kind", ("hand torque wrench", "hydraulic wrench", "pump", "test gauge", "tensioner", "relief valve"))
    serial: str = _opt("serial number")
    calibrated_until: str = _opt("calibration good until, year-month-day")
    range: str = _opt("range")
    factor: Quantity | None = _num("k_w", "torque for each unit of pump pressure", "N.m/bar", above=0)
    most_pressure: Quantity | None = _num("P_w", "most pump pressure it may see", "bar", above=0)
    piston_area: Quantity | None = _num("A_p", "hydraulic area of a tensioner", "mm2", above=0)
    load_loss: Quantity | None = _num("k_l", "load applied over load left when a tensioner is let down", "-", least=1, most=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """[gear.SL1]: lifting gear with the capacity on its tag. Never assumed. A tag speaks of a vertical hitch unless it says which."""

    id: str
    kind: str = _opt("kind")
    capacity: Quantity | None = _num("C", "capacity on the tag", "kg", above=0)
    use: str = _opt("what it is for")
    inspected: str = _opt("when its tag was read and it was looked over, year-month-day")
    made: str = _opt("what a sling is made of", ("wire", "web", "round"))
    hitch: str = _opt("hitch a sling is used in", ("vertical", "choker", "basket"))
    tag_hitch: str = _opt("hitch the capacity on the tag is for, where it is no vertical one", ("vertical", "choker", "basket"))
    choke_angle: Quantity | None = _num("beta", "choke angle", "deg", least=0, most=180)
    leg_angle: Quantity | None = _num("theta", "legs of the basket or of the set, from the horizontal", "deg", least=0, most=90)
    wrapped: Quantity | None = _num("D", "diameter of what a wire rope is wrapped round", "mm", above=0, most=2e4)
    rope: Quantity | None = _num("d", "diameter of the rope", "mm", above=0, most=200)
    legs: Quantity | None = _num("n", "legs of the set, each with this capacity", "count", least=1, most=4)
    size: str = _opt("size of an eyebolt, in inches")
    pull_angle: Quantity | None = _num("alpha", "pull, from the shank of an eyebolt or the line of a shackle", "deg", least=0, most=90)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """One row of a crane's chart: what it may carry out to that radius, hook block and gear included."""

    radius: Quantity
    capacity: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Crane:
    """[crane]: the crane that carries what hangs on its hook, and the chart rows somebody typed in. None of it is assumed."""

    name: str = _opt("the crane, as the site calls it")
    use: str = _opt("what it lifts; the bundle where nothing is said")
    configuration: str = _opt("what the chart rows are for: boom, counterweight, outriggers, side")
    chart: tuple[ChartRow, ...] = field(default=(), metadata={"label": "rows of the maker's chart, radius and capacity"})
    radius: Quantity | None = _num("r", "largest radius of the move", "m", above=0, most=200)
    highest: Quantity | None = _num("h_g", "the highest the hook goes over the ground", "m", above=0, most=200)
    hook_block: Quantity | None = _num("m_hb", "hook block", "kg", least=0, most=1e5)
    slings: Quantity | None = _num("m_sl", "slings and shackles", "kg", least=0, most=1e5)
    spreader: Quantity | None = _num("m_sp", "spreader or cradle", "kg", least=0, most=1e5)
    rope: Quantity | None = _num("m_rp", "rope below the boom tip", "kg", least=0, most=1e5)
    most_share: Quantity | None = _num("u_max", "most of the chart the site lifts without more", "-", above=0, most=1)
    wind_limit: Quantity | None = _num("v", "wind at which its maker, or the site, stops it", "m/s", above=0, most=50)

    @property
    def given(self) -> bool:
        """Whether anybody said anything of a crane."""
        return self != Crane()


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchanger:
    """One exchanger, whole."""

    identity: Identity
    letters: Letters
    options: dict[str, bool]
    shell_side: Side
    tube_side: Side
    shell: Shell = Shell()
    channel: Head = Head()
    channel_cover: Head = Head()
    rear_head: Head = Head()
    rear_cover: Head = Head()
    floating_head: Head = Head()
    shell_cover: Head = Head()
    tubes: Tubes = Tubes()
    stationary_tubesheet: Tubesheet = Tubesheet()
    floating_tubesheet: Tubesheet = Tubesheet()
    baffles: Baffles = Baffles()
    bundle: BundleParts = BundleParts()
    service: Service = Service()
    nozzles: tuple[Nozzle, ...] = ()
    openings: tuple[Opening, ...] = ()
    blinds: tuple[Blind, ...] = ()
    joints: tuple[Joint, ...] = ()
    tools: tuple[Tool, ...] = ()
    gear: tuple[Gear, ...] = ()
    crane: Crane = Crane()
    plugged: tuple[str, ...] = ()
    to_plug: tuple[str, ...] = ()
    walls: tuple[Wall, ...] = ()  # as measured on this job, or by a report; never of the file
    assumptions: tuple[str, ...] = ()
    lines: dict[str, int] = field(default_factory=dict)

    def side(self, name: str) -> Side:
        """The shell or the tube side."""
        return self.shell_side if name == "shell" else self.tube_side

    def joint(self, id_: str) -> Joint:
        """One joint by its number; KeyError naming the joints there are."""
        for j in self.joints:
            if j.id == id_:
                return j
        raise KeyError(f"{self.identity.tag} has no joint {id_}; it has {', '.join(j.id for j in self.joints)}")
