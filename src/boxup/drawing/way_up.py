"""The tubesheet end-on with what says which way up: the right pose in solid lines, wrong ones beside it in phantom, and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin, sqrt

from boxup.bundle.way_marks import inlets
from boxup.bundle.way_up import WayUp
from boxup.core.finding import Missing
from boxup.drawing.svg import WORD, Point, Sheet, wrap
from boxup.drawing.tubesheet import Line
from boxup.exchanger.model import Exchanger
from boxup.exchanger.ribs import rib_lines

GAP, TOP, STUB = 24.0, 108.0, 34.0  # px between panels; over the shell for the heading and its nozzle; length of a nozzle
SHOWN = (180.0, 90.0)  # the wrong turns that are drawn; a quarter the other way is the mirror image
MOST_WORDS = 3  # clauses under a wrong one


@dataclass(frozen=True, slots=True)
class Pose:
    """One panel: degrees turned clockwise, its heading, what stands below it."""

    degrees: float
    title: str
    words: Sequence[str]

    @property
    def right(self) -> bool:
        return self.degrees == 0


@dataclass(frozen=True, slots=True)
class WayUpView:
    """What the drawing shows, seen from the front.

    ribs: the grooves of the tubesheet, mm from its centre; radius: what they reach to, mm. plates, bars, notches, mark, dowel: clock
    positions in the right pose; cut: up, right, down, left or "", where the first baffle is cut; long_baffle: horizontal, vertical, or ""
    where there is none. inlets, outlets: name and clock of the shell's nozzles, which never turn. poses: the panels, the right one first.
    """

    tag: str
    radius: float
    poses: Sequence[Pose]
    ribs: Sequence[Line] = ()
    plates: Sequence[float] = ()
    bars: Sequence[float] = ()
    notches: Sequence[float] = ()
    mark: float | None = None
    dowel: float | None = None
    cut: str = ""
    long_baffle: str = ""
    inlets: Sequence[tuple[str, float]] = ()
    width: int = 860


def view_of(x: Exchanger, found: WayUp, width: int) -> WayUpView:
    """The right pose of this exchanger's bundle, half a turn and a quarter."""
    m, ribs = found.marks, rib_lines(x, "front")
    lines = () if isinstance(ribs, Missing) else ribs
    reach = max([max(abs(r.x1), abs(r.y1), abs(r.x2), abs(r.y2)) for r in lines], default=100.0)
    right = Pose(0, "RIGHT", tuple(found.short.split("; ")) if found.short else ("by bundle and drawing",))
    wrong = [Pose(t.degrees, f"WRONG: {t.name}", t.harms[:MOST_WORDS]) for d in SHOWN for t in found.turns if t.degrees == d and t.harms]
    plates = tuple(dict.fromkeys(p.clock for p in m.plates or ()))
    return WayUpView(
        x.identity.tag, reach, (right, *wrong), lines, plates, m.bars, m.notches, m.mark, m.dowel, m.first_cut, m.long_baffle,
        _inlets(x), width,
    )  # fmt: skip


def _inlets(x: Exchanger) -> tuple[tuple[str, float], ...]:
    """Inlets by clock position; those behind one another under one name."""
    by_clock: dict[float, list[str]] = {}
    for n in inlets(x):
        if n.clock:
            by_clock.setdefault(n.clock.si, []).append(n.id)
    return tuple((", ".join(names), clock) for clock, names in by_clock.items())


def way_up(view: WayUpView) -> str:
    """SVG; panels side by side, one under the other where it is narrow."""
    many = 1 if view.width < 600 else len(view.poses)
    room = (view.width - GAP * (many + 1)) / many
    sheet = Sheet(view.width, 100, f"{view.tag}: which way up the bundle goes in, seen from the front", _desc(view))
    y, tallest = 0.0, 0.0
    for n, pose in enumerate(view.poses):
        column = n % many
        if n and column == 0:
            y, tallest = tallest + GAP, 0.0
        foot = _Panel(sheet, view, pose, (GAP + column * (room + GAP), y), room).draw()
        tallest = max(tallest, foot)
    sheet.height = round(_legend(sheet, view, tallest + 10) + 12)
    return sheet.text()


def _desc(view: WayUpView) -> str:
    return " ".join(f"{pose.title}: {'; '.join(pose.words)}." for pose in view.poses)


def _legend(sheet: Sheet, view: WayUpView, y: float) -> float:
    """The marks in words."""
    said = ["seen from the front; solid lines: right; phantom lines: wrong"]
    said += ["thick bar inside the edge: impingement plate"] if view.plates else []
    said += ["dot on the edge: dowel"] if view.dowel else []
    said += ["black squares: sliding bars"] if view.bars else []
    said += ["open triangles: notches of the baffles"] if view.notches else []
    said += ["dash line with a hatch: cut of the first baffle"] if view.cut else []
    said += ["two lines across: baffle along the bundle"] if view.long_baffle else []
    said += ["thick lines: grooves for the pass plates"] if view.ribs else []
    for line in said:
        for part in wrap(line, WORD, view.width - 32):
            y += 24
            sheet.words(16, y, part, anchor="start")
    return y


class _Panel:
    """One pose: the shell stands, the bundle is turned in it."""

    def __init__(self, sheet: Sheet, view: WayUpView, pose: Pose, corner: Point, room: float) -> None:
        self.sheet, self.view, self.pose, self.room = sheet, view, pose, room
        self.r = min(room / 2 - STUB - 4, 130.0)  # of the shell
        self.at = (corner[0] + room / 2, corner[1] + TOP + self.r)
        self.inner = self.r - 9
        self.pen = "edge" if pose.right else "ring"
        self.left = corner[0]

    def draw(self) -> float:
        """Returns the foot of its words."""
        s, view = self.sheet, self.view
        for n, line in enumerate(wrap(self.pose.title, 20, self.room, bold=True)):
            s.words(self.at[0], self.at[1] - self.r - TOP + 22 + 23 * n, line, 20, bold=True)
        s.circle(self.at, self.r, "thin")
        for name, clock in view.inlets:
            self._nozzle(name, clock)
        s.circle(self.at, self.inner, self.pen)
        self._baffles()
        self._ribs()
        for clock in view.plates:
            self._plate(clock)
        for clock in view.bars:
            self._bar(clock)
        for clock in view.notches:
            self._notch(clock)
        self._marks()
        if not self.pose.right:
            self._struck()
        return self._words()

    def _on(self, clock: float, r: float, *, turned: bool = True) -> Point:
        a = radians(clock * 30 + (self.pose.degrees if turned else 0))
        return self.at[0] + r * sin(a), self.at[1] - r * cos(a)

    def _nozzle(self, name: str, clock: float) -> None:
        """A stub of the shell with an arrow inward: it does not turn."""
        d = 12 / self.r / radians(30)
        for side in (-d, d):
            a = radians((clock + side) * 30)
            foot = (self.at[0] + self.r * sin(a), self.at[1] - self.r * cos(a))
            out = radians(clock * 30)
            self.sheet.line(foot, (foot[0] + (STUB - 8) * sin(out), foot[1] - (STUB - 8) * cos(out)), "edge")
        tip, far = self._on(clock, self.r - 1, turned=False), self._on(clock, self.r + STUB - 10, turned=False)
        self.sheet.line(far, tip, "thin")
        self.sheet.arrow(tip, far, 10)
        x, y = self._on(clock, self.r + STUB - 2, turned=False)
        beside = {12.0: (22.0, 2.0), 6.0: (22.0, 10.0)}.get(clock % 12 or 12.0, (0.0, -14.0))
        self.sheet.words(x + beside[0], y + beside[1], name, anchor="start" if beside[0] else "middle", bold=True)

    def _baffles(self) -> None:
        """The cut of the first baffle as a chord with a hatch in what is cut away; a baffle along the bundle as two lines."""
        hour = {"up": 12.0, "right": 3.0, "down": 6.0, "left": 9.0}.get(self.view.cut)
        if hour is not None:
            for k in range(6):
                h = self.inner * (0.5 + 0.08 * k)
                half = sqrt(self.inner**2 - h**2)
                self._chord(hour, h, half if k == 0 else half * 0.94, "hidden" if k == 0 else "hatch")
        if self.view.long_baffle:
            for side in (-3.0, 3.0):
                self._chord(12.0 if self.view.long_baffle == "horizontal" else 3.0, side, self.inner, "thin" if self.pose.right else "ring")

    def _chord(self, hour: float, h: float, half: float, pen: str) -> None:
        a = radians(hour * 30 + self.pose.degrees)
        mid = (self.at[0] + h * sin(a), self.at[1] - h * cos(a))
        self.sheet.line((mid[0] - half * cos(a), mid[1] - half * sin(a)), (mid[0] + half * cos(a), mid[1] + half * sin(a)), pen)

    def _ribs(self) -> None:
        scale, a = (self.inner - 6) / self.view.radius, radians(self.pose.degrees)
        for rib in self.view.ribs:
            ends = [(x * cos(a) + y * sin(a), y * cos(a) - x * sin(a)) for x, y in ((rib.x1, rib.y1), (rib.x2, rib.y2))]
            one, other = ((self.at[0] + x * scale, self.at[1] - y * scale) for x, y in ends)
            self.sheet.line(one, other, "thick" if self.pose.right else "phantom")

    def _plate(self, clock: float) -> None:
        a, r, half = radians(clock * 30 + self.pose.degrees), self.inner - 11, 34.0
        out, along = (sin(a), -cos(a)), (cos(a), sin(a))
        corners = [(self.at[0] + out[0] * (r + t) + along[0] * u, self.at[1] + out[1] * (r + t) + along[1] * u)
                   for t, u in ((-5, -half), (-5, half), (4, half), (4, -half))]  # fmt: skip
        self.sheet.run(corners, "edge" if self.pose.right else "ring", "ink" if self.pose.right else "ground", close=True)

    def _bar(self, clock: float) -> None:
        x, y = self._on(clock, self.inner)
        self.sheet.rect(x - 7, y - 7, 14, 14, "edge", "ink" if self.pose.right else "ground")

    def _notch(self, clock: float) -> None:
        tip, a, b = self._on(clock, self.inner - 14), self._on(clock - 0.22, self.inner), self._on(clock + 0.22, self.inner)
        self.sheet.run((a, tip, b), "edge")

    def _marks(self) -> None:
        """12 o'clock of the shell, the match mark of the bundle, its dowel."""
        view = self.view
        if view.mark:
            x, y = self._on(view.mark, self.inner - 34)
            self.sheet.circle((x, y), 13, "edge" if self.pose.right else "ring", "ground")
            self.sheet.words(x, y + 7, "T", 20, bold=True)
        if view.dowel:
            self.sheet.circle(self._on(view.dowel, self.inner - 1), 5.5, "thin", "ink" if self.pose.right else "ground")
        x, y = self.at[0] - 22, self.at[1] - self.r - 6
        self.sheet.words(x - 12, y, "12", bold=True)

    def _struck(self) -> None:
        """A stroke of the pen through a wrong one."""
        d = self.r * 0.72
        self.sheet.line((self.at[0] - d, self.at[1] + d), (self.at[0] + d, self.at[1] - d), "mid")

    def _words(self) -> float:
        y = self.at[1] + self.r + (STUB + 8 if any(clock % 12 == 6 for _, clock in self.view.inlets) else 10)
        for text in self.pose.words:
            y += 4
            with self.sheet.group(sentence="yes"):
                for line in wrap(text, WORD, self.room):
                    y += 22
                    self.sheet.words(self.left, y, line, anchor="start")
        return y
