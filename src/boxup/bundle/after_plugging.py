"""After plugging: tubes left by pass, and, where the data sheet's lines are given, what it does to duty, pressure drop and velocity."""

from __future__ import annotations

from dataclasses import dataclass, field

from boxup.bundle.arrangement import Arrangement
from boxup.bundle.effectiveness import ZONES
from boxup.bundle.meeting import way_of
from boxup.bundle.open_tubes import OpenTubes, open_tubes
from boxup.bundle.plugged_duty import find_film, ratios
from boxup.bundle.service import Standing, ready, stands
from boxup.core.finding import Finding, Missing
from boxup.core.working import CannotWork, Working
from boxup.exchanger.layout import Layout, layout_of
from boxup.exchanger.model import Exchanger
from boxup.reference.load import source

TRADE = source("trade")
NOT_A_VERDICT = (
    "Worked for the flows, inlet temperatures and fouling of the data sheet; the process engineer decides what the plant can live with."
)
_FIXED = (
    "A plugged tube runs at the shell's temperature while its neighbours do not: in a fixed tubesheet it pulls or pushes at its joints. "
    "The engineer looks at it where plugs lie together."
)
_TOO_FAST = "The fastest pass runs over the most that the site allows: the process engineer says before more is plugged"
_DISAGREE = "The shell film and the design duty of the data sheet do not agree within a twentieth: one of them is from another case"

# The lines of the data sheet, as it names them.
_NEEDED: tuple[tuple[str, str], ...] = (
    ("tube_flow", "tube-side flow"), ("tube_inlet", "tube-side inlet temperature"), ("tube_density", "tube-side density"),
    ("tube_viscosity", "tube-side viscosity"), ("tube_heat_capacity", "tube-side specific heat"),
    ("tube_conductivity", "tube-side thermal conductivity"), ("tube_fouling", "tube-side fouling resistance"),
    ("wall_conductivity", "thermal conductivity of the tube metal"), ("shell_inlet", "shell-side inlet temperature"),
    ("shell_fouling", "shell-side fouling resistance"),
)  # fmt: skip
_SHELL_FLOW = (("shell_flow", "shell-side flow"), ("shell_heat_capacity", "shell-side specific heat"))
_HOLDS = (("shell_holds", "whether the shell fluid boils or condenses"),)
_SIZES = (("od", "tube outside diameter"), ("wall", "tube wall"), ("length", "tube length"))


@dataclass(frozen=True, slots=True)
class AfterPlugging:
    """`tubes`: with what is plugged and listed, `also` in it; None without a map. Standings None where the data sheet is not given."""

    tubes: OpenTubes | None
    also: tuple[str, ...] = ()
    before: Standing | None = None
    after: Standing | None = None
    way: Arrangement | None = None
    missing: tuple[Missing, ...] = ()
    working: Working = field(default_factory=lambda: Working("after plugging", ZONES))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Of the working, each once."""
        return tuple(dict.fromkeys(self.working.all_findings()))

    def ratio(self, symbol: str) -> float | None:
        """y_Q, y_p, y_v or y_A of the working; y_v and y_A need no service."""
        if symbol in self.working.steps:
            return self.working[symbol]
        return {"y_A": 1 - self.tubes.share, "y_v": _velocity_ratio(self.tubes)}.get(symbol) if self.tubes else None


def _velocity_ratio(tubes: OpenTubes) -> float:
    """The fastest pass as it is over the fastest with every tube open: of the fewest open tubes."""
    return min(tubes.holes) / min(tubes.open) if min(tubes.open) else float("inf")


def after_plugging(x: Exchanger, also: tuple[str, ...] = ()) -> AfterPlugging:
    """With the plugs of the file and the record, those on the list, and `also` (holes typed, `"9-14"`). Never raises for what is absent."""
    layout = layout_of(x)
    tubes = open_tubes(x, (*x.plugged, *x.to_plug, *also))
    if isinstance(layout, Missing) or isinstance(tubes, Missing):
        return AfterPlugging(None, also, missing=tuple(m for m in (layout, tubes) if isinstance(m, Missing))[:1])
    found = AfterPlugging(tubes, also)
    _always(found.working, x, tubes)
    way = way_of(x, layout)
    lacks = tuple(m for m in (_lacks(x), way) if isinstance(m, Missing))
    if lacks or isinstance(way, Missing):
        return AfterPlugging(tubes, also, missing=lacks[:1], working=found.working)
    return _worked(x, layout, tubes, also, way)


def _always(w: Working, x: Exchanger, tubes: OpenTubes) -> None:
    """What is said whatever the service."""
    if tubes.unknown:
        w.say("warn", f"Not on the tube map, and not counted: {', '.join(tubes.unknown)}.", source=TRADE)
    if sum(tubes.shut) and x.letters.fixed:
        w.say("note", _FIXED, source=TRADE)


def _lacks(x: Exchanger) -> Missing | None:
    """The lines of the data sheet that are not given, in one sentence; None where all are there."""
    s = x.service
    lines = [f"{words} ({key})" for key, words in (*_NEEDED, *_of_the_shell(x)) if getattr(s, key) in (None, "")]
    if s.shell_film is None and s.design_duty is None:
        lines.append("heat exchanged (design_duty)")
    sizes = [f"{words} ([tubes] {key})" for key, words in _SIZES if getattr(x.tubes, key) is None]
    if not lines and not sizes:
        return None
    return Missing("duty after plugging", f"read from the exchanger data sheet into [service]: {', '.join([*lines, *sizes])}.")


def _of_the_shell(x: Exchanger) -> tuple[tuple[str, str], ...]:
    """A kettle or a cross-flow shell is worked only where its fluid stays at one temperature, and that must be said."""
    if x.letters.shell in ("K", "X"):
        return _HOLDS
    return () if x.service.shell_holds == "yes" else _SHELL_FLOW


def _worked(x: Exchanger, layout: Layout, tubes: OpenTubes, also: tuple[str, ...], way: Arrangement) -> AfterPlugging:
    w = Working("after plugging", ZONES)
    _always(w, x, tubes)
    try:
        _take(w, x)
        ready(w)
        find_film(w, tubes.holes, way)
        before = stands(w, "every tube open", tubes.holes, way)
        after = stands(w, "with the plugs", tubes.open, way)
    except CannotWork as bad:
        text = str(bad)
        return AfterPlugging(tubes, also, way=way, missing=(Missing("duty after plugging", f"{text[0].lower()}{text[1:]}."),))
    ratios(w, before, after)
    _limits(w)
    before.working.aside = after.working.aside = True  # for the engineer: not among the printed workings of a pack
    return AfterPlugging(tubes, also, before, after, way, working=w)


def _take(w: Working, x: Exchanger) -> None:
    """Sizes and the lines of the data sheet; of a shell at one temperature no flow."""
    t = x.tubes
    for symbol, label, value, unit in (("d_o", "tube outside diameter", t.od, "mm"), ("t_t", "tube wall", t.wall, "mm"),
                                       ("L_t", "straight tube length", t.length, "m")):  # fmt: skip
        assert value is not None, "looked for by _lacks"
        w.given(symbol, label, value, unit)
    w.take_in(x.service)
    if x.service.shell_holds == "yes":
        for symbol in ("W_s", "c_s"):
            w.steps.pop(symbol, None)


def _limits(w: Working) -> None:
    if "v_max" in w.steps:
        w.limit("v_2 <= v_max", _TOO_FAST, "[service] most_velocity", "stop", TRADE)
    if {"Q_d", "h_o"} <= set(w.steps):
        w.limit("abs(Q_1 - Q_d) <= 0.05*Q_d", _DISAGREE, "data sheet", "warn", TRADE)
