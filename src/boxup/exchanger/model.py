"""What an exchanger file describes. Every number is a Quantity with its grade, or None where nobody gave it.

The field names are the keys of the file. Nothing here is computed; what may be assumed is added by `assumed.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from boxup.core.calculation import word
from boxup.core.quantity import GRADES, Quantity
from boxup.exchanger.field import COLDEST, HOTTEST, num, opt
from boxup.exchanger.letters import Letters
from boxup.exchanger.lifting import Crane, Gear
from boxup.exchanger.service import Service
from boxup.exchanger.wall import Wall

SideName = Literal["shell", "tube"]
SIDES: tuple[SideName, ...] = ("shell", "tube")
# Bounds of sense: beyond them a unit or a power of ten was mistyped, or it is no exchanger of these letters.
MOST_PRESSURE = 100.0  # MPa
MOST_RATIO = 10.0  # allowable stress at test over that at design temperature; a metal that loses nine tenths of its strength holds nothing
HIGHEST_GAUGE = 200.0  # m of the gauge below the top


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """[exchanger]: the plate and the drawing."""

    tag: str = word("tag")
    type: str = word("TEMA letters")
    plant: str = opt("plant")
    unit: str = opt("process unit")
    bundle_serial: str = opt("serial number stamped on the bundle")
    drawing: str = opt("drawing number")
    revision: str = opt("drawing revision")
    year: str = opt("year built")
    position: str = word("position", ("horizontal", "vertical"), default="horizontal")
    upper_end: str = opt("where it stands upright: the end that is up", ("front", "rear"))
    made_up: str = word("yes for an invented exchanger", ("yes", "no"), default="no")
    job: str = opt("job number")
    job_scope: str = opt("what is done this time")
    crew_lead: str = opt("crew lead")
    inspector: str = opt("inspector")
    grade: str = opt("how well the values of the file are known unless they say otherwise", GRADES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """[shell_side] and [tube_side]: what the side carries and how far it may be pressed."""

    name: SideName
    fluid: str = opt("what it carries")
    hazards: str = opt("what it does to people: words for the cover of the pack")
    mawp: Quantity | None = num("MAWP", "maximum allowable working pressure", "MPa", above=0, most=MOST_PRESSURE)
    design_temperature: Quantity | None = num("T_d", "design temperature", "degC", least=COLDEST, most=HOTTEST)
    mdmt: Quantity | None = num("MDMT", "minimum design metal temperature", "degC", least=COLDEST, most=HOTTEST)
    material: str = opt("material of the pressure parts")
    stress_test: Quantity | None = num("S_t", "allowable stress at test temperature, governing part", "MPa", above=0)
    stress_design: Quantity | None = num("S_d", "allowable stress at design temperature, governing part", "MPa", above=0)
    governing_part: str = opt("the part with the lowest ratio of the two stresses")
    test_limit: Quantity | None = num("P_max", "highest pressure any part of this side may see on test", "MPa", above=0)
    limit_reason: str = opt("which part sets that limit")
    chloride_limit_mg_per_l: Quantity | None = num("Cl", "chloride limit of the test water, mg/L", "count", above=0)
    test_rule: str = word("multiple of MAWP for the test, or EN 13445-5", ("1.3", "1.5", "EN"), default="1.3")
    test_height: Quantity | None = num("H_w", "height under test, highest point to lowest", "mm", above=0, most=2e5)
    test_gauge_below_top: Quantity | None = num("h", "test gauge below the highest point of the side", "m", least=0, most=HIGHEST_GAUGE)
    fill_rate: Quantity | None = num("q_f", "water the filling hose or pump gives", "L/min", above=0, most=1e5)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoreReading:
    """The bore of the shell as measured at one place: how far from the front flange face, the least and the greatest diameter there."""

    at: Quantity
    least: Quantity
    most: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """[shell]."""

    inside_diameter: Quantity | None = num("D_s", "shell inside diameter", "mm", above=0)
    wall: Quantity | None = num("t_s", "shell wall", "mm", above=0)
    length: Quantity | None = num("L_s", "shell length, flange face to flange face", "mm", above=0)
    port_diameter: Quantity | None = num("D_k", "kettle port diameter", "mm", above=0)
    end: str = opt("closed rear end of the shell (U, some K)", ("ellipsoidal", "dished", "flat"))
    slope: Quantity | None = num("alpha", "slope of the shell, uphill going in +", "deg", least=-45, most=45)
    measured_bore: tuple[BoreReading, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """[channel], [channel_cover], [rear_head], [rear_cover], [floating_head], [shell_cover]: a part that is lifted on its own."""

    inside_diameter: Quantity | None = num("D", "inside diameter", "mm", above=0)
    outside_diameter: Quantity | None = num("A", "outside diameter", "mm", above=0)
    wall: Quantity | None = num("t", "wall", "mm", above=0)
    length: Quantity | None = num("L", "length, straight part", "mm", above=0)
    thickness: Quantity | None = num("T", "thickness of a flat cover", "mm", above=0)
    shape: str = opt("shape of the end", ("open", "flat", "ellipsoidal", "dished"))
    pass_plate: Quantity | None = num("t_p", "pass plate thickness", "mm", above=0)
    mass: Quantity | None = num("m", "mass as lifted", "kg", above=0)
    lifting_points: str = opt("lifting points as the drawing shows them")


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeRow:
    """One row of holes: its height over the centre line, how many holes, centred, and the pass."""

    y: Quantity
    holes: int
    tube_pass: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tubes:
    """[tubes]. For U-tubes `count` is the number of holes (legs)."""

    od: Quantity | None = num("d_o", "tube outside diameter", "mm", above=0)
    wall: Quantity | None = num("t_t", "tube wall", "mm", above=0)
    length: Quantity | None = num("L_t", "straight tube length", "mm", above=0)
    count: Quantity | None = num("N_t", "tube holes in a tubesheet", "count", above=0)
    pitch: Quantity | None = num("p", "pitch", "mm", above=0)
    pattern: Quantity | None = num("angle", "pattern angle: 30, 45, 60 or 90", "count", above=0)
    passes: Quantity | None = num("n_p", "tube passes", "count", above=0)
    layout: str = opt("how the passes lie", ("plain", "band", "quadrant", "two-column", "zigzag"))
    lane: Quantity | None = num("lane", "between tube centres across a pass plate", "mm", above=0)
    outer_limit: Quantity | None = num("OTL", "outer tube limit", "mm", above=0)
    material: str = opt("tube material")
    density: Quantity | None = num("rho_t", "density of the tube metal", "kg/m3", above=0)
    least_wall: Quantity | None = num("t_w", "least wall measured in tubes that stay in use", "mm", above=0)
    yield_strength: Quantity | None = num("S_y", "yield strength of the tube metal, at least", "MPa", above=0, most=2000)
    outside_limit: Quantity | None = num("P_out", "the most the tubes may see from outside with nothing in them", "MPa", above=0)
    differential_limit: Quantity | None = num("dP_max", "the most between the two sides, where they are designed for a difference", "MPa",
                                               above=0)  # fmt: skip
    wall_loss_limit: Quantity | None = num("L_max", "most wall loss of a tube that stays in use, site's limit", "-", above=0, most=1)
    plug_limit: Quantity | None = num("p_max", "most of the tubes of a pass that may be plugged, site's limit", "-", above=0, most=1)
    roll_reduction: Quantity | None = num("w", "wall reduction the procedure rolls to, share of twice the wall", "-", above=0, most=0.2)
    rows: tuple[TubeRow, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Tubesheet:
    """[stationary_tubesheet] and [floating_tubesheet] (the rear one of a fixed exchanger too)."""

    outside_diameter: Quantity | None = num("D_ts", "tubesheet outside diameter", "mm", above=0)
    thickness: Quantity | None = num("t_ts", "tubesheet thickness", "mm", above=0)
    hole: Quantity | None = num("d_h", "tube hole", "mm", above=0)
    minimum_thickness: Quantity | None = num("t_min", "least thickness allowed", "mm", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Baffles:
    """[baffles]: single segmental unless said otherwise."""

    count: Quantity | None = num("n_b", "baffles", "count", least=0)
    spacing: Quantity | None = num("s_b", "baffle spacing", "mm", above=0)
    cut: Quantity | None = num("f_b", "cut, as a fraction of the shell bore", "-", above=0, most=0.5)
    cut_direction: str = opt("cut direction", ("horizontal", "vertical"))
    first_cut: str = opt("where the cut of the first baffle is", ("up", "down", "left", "right"))
    thickness: Quantity | None = num("t_b", "baffle thickness", "mm", above=0)
    outside_diameter: Quantity | None = num("D_b", "baffle outside diameter", "mm", above=0)
    hole: Quantity | None = num("d_b", "baffle hole", "mm", above=0)
    first_position: Quantity | None = num("x_b", "first baffle from the inner face of the stationary tubesheet", "mm", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleParts:
    """[bundle]: the rest of it, and how it goes in."""

    rods_bars_mass: Quantity | None = num("m_r", "tie rods, spacers, sliding bars, strips", "kg", least=0)
    impingement_mass: Quantity | None = num("m_i", "impingement plate", "kg", least=0)
    tie_rods: Quantity | None = num("n_tr", "tie rods", "count", least=0, most=40)
    weighed_mass: Quantity | None = num("m_w", "bundle as weighed, dry", "kg", above=0)
    pulled_mass: Quantity | None = num("m_wp", "as weighed when it came out, with dirt, water and what rides along", "kg", above=0)
    planned_mass: Quantity | None = num("m_pl", "mass the lift plan was made for", "kg", above=0)
    fouling_mass: Quantity | None = num("m_f", "dirt left on the bundle when it is lifted", "kg", least=0)
    water_mass: Quantity | None = num("m_v", "water left in or on the bundle when it is lifted", "kg", least=0)
    friction_low: Quantity | None = num("mu_1", "friction, clean and greased bars", "-", above=0, most=2)
    friction_high: Quantity | None = num("mu_2", "friction, dry or dirty", "-", above=0, most=2)
    match_mark: str = opt("match mark and where it stands")
    impingement_plate: str = opt("where the impingement plate is")
    sliding_bars: str = opt("sliding bars: how many and where")
    plates_under: str = opt("shell inlets that have an impingement plate on the bundle, or none")
    bars_at: str = opt("clock positions of the sliding bars")
    notches_at: str = opt("clock positions of drain and vent notches in the baffles")
    mark_at: str = opt("clock position of the match mark")
    dowel_at: str = opt("clock position of the dowel or the odd stud that lets the tubesheet on one way only, or none")
    long_baffle: str = opt("how a baffle along the bundle lies", ("horizontal", "vertical"))
    sealing_strips: Quantity | None = num("n_ss", "sealing strips", "count", least=0)
    sling_points_m: Quantity | None = num("x_s1", "first sling from the outer face of the stationary tubesheet", "m", least=-10)
    sling_points_far_m: Quantity | None = num("x_s2", "second sling from there", "m", above=0)
    hook_height: Quantity | None = num("h", "hook above the picks", "m", above=0)
    sling_width: Quantity | None = num("b", "width of a sling, or length of a saddle, along the bundle", "mm", above=0, most=3000)
    tube_stress_share: Quantity | None = num("f_y", "share of yield the tubes may bend to while they hang", "-", above=0, most=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nozzle:
    """[nozzle.N1]."""

    id: str
    side: str = word("side", ("shell", "tube"))
    duty: str = opt("inlet or outlet, and what")
    size: str = opt("nominal size, for example 10 in")
    flange_class: str = opt("flange class", ("150", "300", "600", "900", "1500"))
    clock: Quantity | None = num("clock", "clock position seen from the front: 12 is up", "count", above=0, most=12)
    position: Quantity | None = num("x", "from the inner face of the stationary tubesheet, rearward +", "mm")
    gasket: str = opt("gasket kind of this flange")
    shared_with: str = opt("tag of the stacked neighbour this nozzle is bolted to, without a spool")
    studs: Quantity | None = num("n", "studs", "count", above=0)
    stud_size: str = opt("stud size")
    stud_grade: str = opt("stud grade")
    lubricant: str = opt("lubricant")
    nut_factor: Quantity | None = num("K", "nut factor", "-", above=0, most=1)
    target_stress: Quantity | None = num("S_b", "target stud stress, on the area named in stress_area", "MPa", above=0)
    stress_area: str = opt("area the target stress is on; root, and said so, where nothing is said", ("root", "tensile"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """[small_bore.V1]: a vent, drain, thermowell, gauge point. A weep hole of a lantern ring stays open, also on test."""

    id: str
    side: str = word("side", ("shell", "tube"))
    kind: str = word("kind", ("vent", "drain", "thermowell", "gauge point", "plug", "weep hole"))
    size: str = opt("size")
    clock: Quantity | None = num("clock", "clock position seen from the front", "count", above=0, most=12)
    position: Quantity | None = num("x", "from the inner face of the stationary tubesheet, rearward +", "mm")
    on: str = opt("part it stands on: shell, shell cover, channel, channel cover, bonnet, rear bonnet, lantern ring, or nozzle N1")
    place: str = opt("where, in words")


@dataclass(frozen=True, slots=True, kw_only=True)
class Blind:
    """[blind.B1]: a process blind keeps the plant out; a test blind keeps the test water in.

    `at`: a process blind sits at the nozzle flange itself, or at the far end of the spool, which can then be dropped with the blind in.
    """

    id: str
    use: str = word("use", ("process", "test"))
    nozzle: str = word("the nozzle it closes")
    at: str = word("where a process blind sits", ("nozzle", "far end"), default="nozzle")
    size: str = opt("nominal size")
    flange_class: str = opt("flange class", ("150", "300", "600", "900", "1500"))
    thickness: Quantity | None = num("t", "thickness", "mm", above=0)
    line: str = opt("line number or where it leads")
    kind: str = opt("kind", ("spade", "spectacle", "blind flange", "test blank"))
    rated: Quantity | None = num("P", "pressure it is rated for cold", "MPa", above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gasket:
    """[gasket.G1]: one item of the set. `follows`: the exchanger (its tag) or the bundle (its serial)."""

    id: str
    joint: str = word("joint it belongs to")
    follows: str = word("what it follows", ("exchanger", "bundle"), default="exchanger")
    kind: str = opt("kind, for example kammprofile")
    metal: str = opt("core or winding metal")
    facing: str = opt("facing or filler")
    od: Quantity | None = num("G_o", "gasket outside diameter", "mm", above=0)
    id_: Quantity | None = num("G_i", "gasket inside diameter", "mm", above=0)
    thickness: Quantity | None = num("t_g", "gasket thickness", "mm", above=0)
    rib_width: Quantity | None = num("w_r", "rib width", "mm", above=0)
    m: Quantity | None = num("m", "gasket factor", "-", least=0)
    y: Quantity | None = num("y", "seating stress of the code", "MPa", least=0)
    seating_stress: Quantity | None = num("S_gs", "least gasket stress at assembly", "MPa", above=0)
    operating_stress: Quantity | None = num("S_go", "least gasket stress under pressure", "MPa", above=0)
    crush_stress: Quantity | None = num("S_gx", "most gasket stress", "MPa", above=0)
    target_stress: Quantity | None = num("S_gT", "gasket stress aimed at", "MPa", above=0)
    retained: Quantity | None = num("phi_g", "share of its load it keeps once it has relaxed", "-", above=0, most=1)
    rotation: Quantity | None = num("theta_g", "most the flanges may rotate under it", "deg", above=0, most=10)
    unloading_modulus: Quantity | None = num("E_g", "modulus as it is unloaded, at its load", "MPa", least=1, most=3e5)
    spares: Quantity | None = num("n_s", "spares ordered", "count", least=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Studs:
    """[studs.S1]: one set of studs; `joints` it clamps (J2 and J3 share one set)."""

    id: str
    joints: tuple[str, ...] = field(default=(), metadata={"label": "joints this set clamps"})
    count: Quantity | None = num("n", "studs", "count", above=0)
    size: str = opt("stud size, for example 1-8")
    grade: str = opt("stud grade, for example B7")
    nut: str = opt("nut grade")
    length: Quantity | None = num("l", "stud length", "mm", above=0)
    bolt_circle: Quantity | None = num("C", "bolt circle", "mm", above=0)
    lubricant: str = opt("lubricant, as on the tin")
    nut_factor: Quantity | None = num("K", "nut factor of that lubricant", "-", above=0, most=1)
    target_stress: Quantity | None = num("S_b", "target stud stress, on the area named in stress_area", "MPa", above=0)
    stress_area: str = opt("area the target stress is on; root, and said so, where nothing is said", ("root", "tensile"))
    target_from: str = opt("who set the target and where it is written")
    least_stress: Quantity | None = num("S_b1", "least stud stress the site works to, on the same area", "MPa", above=0)
    most_stress: Quantity | None = num("S_b2", "most stud stress the site works to, on the same area", "MPa", above=0)
    grip: Quantity | None = num("l_g", "stack the nuts clamp, nut face to nut face", "mm", above=0)
    tool: str = opt("tool")


FLANGED = ("channel", "channel cover", "shell", "shell cover", "floating head", "backing ring", "rear head", "rear cover", "tubesheet")
FLANGE_TYPES = ("integral", "loose", "lap", "ring", "flat cover", "dished cover", "backing ring")


@dataclass(frozen=True, slots=True, kw_only=True)
class Flange:
    """[flange.F1]: one flange, backing ring or bolted cover of a joint, as the drawing shows it."""

    id: str
    joint: str = word("joint it belongs to")
    part: str = word("the part it is on", FLANGED)
    type: str = opt("how it carries the load", FLANGE_TYPES)
    halves: str = opt("backing ring: in one piece, one split ring, two split rings", ("one piece", "one split ring", "two split rings"))
    od: Quantity | None = num("A", "outside diameter", "mm", above=0)
    bore: Quantity | None = num("B", "inside diameter", "mm", above=0)
    thickness: Quantity | None = num("t", "thickness", "mm", above=0)
    hub_small: Quantity | None = num("g_0", "hub at its thin end", "mm", above=0)
    hub_large: Quantity | None = num("g_1", "hub at the back of the flange", "mm", above=0)
    hub_length: Quantity | None = num("h", "hub length", "mm", above=0)
    crown_radius: Quantity | None = num("L", "inside radius of a dished cover", "mm", above=0)
    head_thickness: Quantity | None = num("t_h", "thickness of the dish", "mm", above=0)
    head_lever: Quantity | None = num("h_r", "lever of the dish about the middle of the ring, + where its pull relieves the ring", "mm")
    bearing_diameter: Quantity | None = num("D_r", "middle of the land a backing ring bears on", "mm", above=0)
    material: str = opt("material")
    allowable_design: Quantity | None = num("S_fo", "allowable stress at design temperature", "MPa", above=0)
    allowable_ambient: Quantity | None = num("S_fa", "allowable stress at room temperature", "MPa", above=0)
    yield_ambient: Quantity | None = num("S_yf", "yield strength at room temperature", "MPa", above=0)
    yield_design: Quantity | None = num("S_yo", "yield strength at design temperature", "MPa", above=0)
    modulus_design: Quantity | None = num("E_o", "modulus at design temperature", "GPa", least=10, most=500)
    modulus_ambient: Quantity | None = num("E_a", "modulus at room temperature", "GPa", least=10, most=500)
    recess_od: Quantity | None = num("D_ro", "outside diameter of the recess the gasket lies in", "mm", above=0)
    recess_id: Quantity | None = num("D_ri", "inside diameter of that recess", "mm", above=0)
    recess_depth: Quantity | None = num("d_r", "depth of that recess", "mm", above=0)
    rib_land: Quantity | None = num("w_p", "width of the pass plate edge under a rib", "mm", above=0)


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
    serial: str = opt("serial number")
    calibrated_until: str = opt("calibration good until, year-month-day")
    range: str = opt("range")
    factor: Quantity | None = num("k_w", "torque for each unit of pump pressure", "N.m/bar", above=0)
    most_pressure: Quantity | None = num("P_w", "most pump pressure it may see", "bar", above=0)
    piston_area: Quantity | None = num("A_p", "hydraulic area of a tensioner", "mm2", above=0)
    load_loss: Quantity | None = num("k_l", "load applied over load left when a tensioner is let down", "-", least=1, most=3)


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
