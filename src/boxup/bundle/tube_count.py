"""How many tubes a shell of that size holds, by pass: a plain layout, worked out hole by hole."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Working
from boxup.exchanger.generate import generate
from boxup.exchanger.lattice import ANGLES, Lattice, NoLayout
from boxup.exchanger.passes import LAYOUTS, MOST_PASSES, legs_why_not, usual_layout, why_not
from boxup.exchanger.stack import LEAST_BEND
from boxup.reference.load import Row, source, table

_PRACTICE = source("trade")
_GEOMETRY = source("geometry")
_PLAIN = ("A plain layout: no tie rods, no rows left out under a nozzle. A built bundle usually has some per cent fewer; "
          "the count of its drawing or of its tubesheet is the truth.")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """A shell and its tubes."""

    shell_id: Quantity = number("D_s", "shell inside diameter", "mm", above=0, most=9000)
    tube_od: Quantity = number("d_o", "tube outside diameter", "mm", least=5, most=1000)
    pitch: Quantity = number("p", "pitch, centre to centre", "mm", above=0, most=2000)
    pattern: str = word("pattern angle, degrees, to the flow across the tubes", tuple(map(str, ANGLES)))
    passes: Quantity = number("n_p", "tube passes", "count", least=1, most=MOST_PASSES)
    clearance: Quantity | None = number(
        "c", "shell inside diameter less outer tube limit; else the usual one of the rear head", "mm", optional=True, least=0
    )
    lane: Quantity | None = number(
        "lane", "between tube centres across a pass plate; else the tube and 19.05 mm, no less than the pitch", "mm", optional=True, above=0
    )
    layout: str = word(
        "how the passes lie; else band up to 5, two-column from 6 where even; U-tubes of 4 quadrant, of more zigzag",
        ("", *LAYOUTS),
        default="",
    )
    rear: str = word(
        "TEMA letter of the rear head, for the usual clearance; U: legs face each other and bends have their room",
        tuple("LMNPSTUW"),
        default="S",
    )

    @property
    def lies(self) -> str:
        """The layout meant."""
        return self.layout or usual_layout(round(self.passes.si), self.u_tubes)

    @property
    def u_tubes(self) -> bool:
        """Whether the tubes turn in a bend, which needs its room and its mirror image."""
        return self.rear == "U"

    def problems(self) -> list[str]:
        n, found = self.passes.si, []
        if abs(n - round(n)) > 1e-9:
            return [f"passes: {self.passes.typed!r} is not a whole number; accepted: 1 to {MOST_PASSES}"]
        if wrong := why_not(round(n), self.lies):
            found.append(f"layout: {wrong}")
        elif self.u_tubes and (wrong := legs_why_not(round(n), self.lies)):
            found.append(f"{'layout' if self.layout else 'passes'}: {wrong}")
        if self.pitch.si < self.tube_od.si:
            found.append(f"pitch: {self.pitch.typed} is less than the tube diameter {self.tube_od.typed}: the tubes would overlap")
        if self.clearance and self.clearance.si >= self.shell_id.si:
            found.append(f"clearance: {self.clearance.typed} leaves nothing of the shell, {self.shell_id.typed}")
        if self.lane and round(n) > 1 and self.lane.si < self.pitch.si:
            found.append(f"lane: {self.lane.typed} is less than the pitch {self.pitch.typed}: no room for the pass plate")
        return found


@calculation("tube-count", _GEOMETRY, Shell, "tubes=N_t@count imbalance=I@- outer_limit=OTL@mm lane=lane@mm")
def tube_count(w: Working, given: Shell) -> dict[str, tuple[Any, str]]:
    """Tube holes of a plain layout, by pass, with a lane at every pass plate of either end."""
    w.take_in(given)
    if given.clearance is None:
        _usual_clearance(w, given)
    w.step("OTL = D_s - c", "mm", "outer tube limit", "circle round all tubes")
    counts = _counts(w, given)
    n = sum(counts)
    uses = ("OTL", "d_o", "p", "n_p", *(s for s in ("lane", "lane_u") if s in w.steps))
    cite = Cite(_GEOMETRY, "hole by hole")
    w.kernel("N_t", "tube holes", n, "count", f"{given.lies} layout, {given.pattern} degrees: tubes inside the limit", cite, uses)
    w.kernel("N_x", "tubes of the largest pass", max(counts), "count", "the same layout", cite)
    w.kernel("N_n", "tubes of the smallest pass", min(counts), "count", "the same layout", cite)
    w.step("I = (N_x - N_n)*n_p/N_t", "-", "imbalance of the passes", "largest less smallest over the mean")
    w.limit("I <= 0.2", "The passes differ by more than is usual; look at another layout", "search limit of this layout", "warn", _PRACTICE)
    w.say("note", _PLAIN, source=_PRACTICE)
    return {"by_pass": (counts, "count")}


def _counts(w: Working, given: Shell) -> list[int]:
    """Tubes of each pass. Raises CannotWork where they cannot lie so."""
    passes = round(given.passes.si)
    if passes > 1 and given.lane is None:
        w.step("lane = max(d_o + 19.05*mm, p)", "mm", "between tube centres across a pass plate", "plate, groove, rib", source=_PRACTICE)
    lane = w["lane"] if passes > 1 else 0.0
    if passes > 1:
        _lane_lines(w, given)
    lattice = Lattice(given.pitch.to("mm"), int(given.pattern))
    try:
        holes = generate(lattice, given.tube_od.to("mm"), w["OTL"] * 1e3, passes, given.lies, lane * 1e3, given.u_tubes)
    except NoLayout as bad:
        raise CannotWork(str(bad)) from bad
    found = Counter(h.tube_pass for h in holes)
    return [found[p] for p in range(1, passes + 1)]


def _lane_lines(w: Working, given: Shell) -> None:
    """Room for the bends of U-tubes, and a lane that takes too much of the bundle."""
    if given.u_tubes:
        bend = f"least bend radius in use, {LEAST_BEND:g} tube diameters"
        w.step(f"lane_u = max(lane, 2*{LEAST_BEND:g}*d_o)", "mm", "between tube centres where bends turn across", bend, source=_PRACTICE)
    say = "The lane takes more than a third of the bundle; it is usually the tube and room for a plate. Look at the number and its unit"
    w.limit("lane <= OTL/3", say, "lane of a pass plate", "warn", _PRACTICE)


def _usual_clearance(w: Working, given: Shell) -> None:
    row = _row(given)
    w.table("c", "shell inside diameter less outer tube limit", row.need("clearance"), "mm", row.place("clearance"), row.cite)
    w.say("note", f"Clearance not given: taken as usual for a rear head {given.rear}.", source=row.cite.source)


def _row(given: Shell) -> Row:
    rows = table("outer_tube_limit").values()
    return next(r for r in rows if given.rear in r.text("heads") and r.need("from") <= given.shell_id.si < r.need("to"))
