"""Stud threads: the size as typed, its areas, and the common thread of a diameter.

Unified inch threads (`3/4-10`, `2-1/2-8`) after ASME B1.1, metric ones (`M24x3`) after ISO 68-1. An area is always a formula.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.calculation import calculation, word
from boxup.core.quantity import BadValue, Quantity, number_of
from boxup.core.source import Source
from boxup.core.unit import UNITS
from boxup.core.working import Step, Working
from boxup.reference.load import source, table

B1_1 = source("asme-b1-1")
ISO_68 = source("iso-68-1")

ACCEPTED = "accepted: diameter and threads per inch, such as 3/4-10, 1-8, 2-1/2-8, or metric with its pitch, such as M24x3"
AREAS = ("root", "tensile")
_FRACTION = r"[0-9]{1,2}/[1-9][0-9]?"
_SERIES = r"(?i:(?:[0-9]{0,2}UN[A-Z]{0,3})?(?:-?[123]A)?)"  # 8UN, UNC-2A: read and left aside
_INCH = re.compile(rf"([0-9]{{1,2}}[- ]{_FRACTION}|{_FRACTION}|[0-9]{{1,2}}(?:\.[0-9]{{1,4}})?)-([1-9][0-9]?) ?{_SERIES}")
_METRIC = re.compile(r"M([0-9]{1,3}(?:\.[0-9])?) ?[xX×] ?([0-9]{1,2}(?:[.,][0-9]{1,2})?)(?:-?[0-9][a-h])?")
_NO_THREAD = re.compile(rf"([Mm]?)({_FRACTION}|[0-9]{{1,3}}(?:[ -]{_FRACTION}|\.[0-9]{{1,4}})?) ?(?:in|inch|mm|\")?")
# A pitch over a quarter of the diameter leaves no core to speak of; the finest, 8 threads to the inch on 7 in, is 0.018 of it.
_COARSEST, _FINEST = 0.25, 0.016
_SMALLEST_MM, _LARGEST_MM = 6.0, 180.0


@dataclass(frozen=True, slots=True)
class Thread:
    """A stud thread. `size` as typed; `diameter` and `pitch` in metres; `per_inch` for inch threads, else None."""

    size: str
    diameter: float
    pitch: float
    per_inch: int | None

    @property
    def metric(self) -> bool:
        return self.per_inch is None

    @property
    def source(self) -> Source:
        return ISO_68 if self.metric else B1_1

    @property
    def listed(self) -> bool:
        """An inch thread among the common stud threads (UNC to 1 in, 8UN above)."""
        return self.per_inch is not None and (common_size(self.diameter) or "").endswith(f"-{self.per_inch}")


def thread(text: str) -> Thread:
    """Read a stud size. Raises BadValue saying what is missing or accepted."""
    said = text.strip()
    if len(said) > 24:
        raise BadValue(f"{said[:24]!r}... is not a stud size; {ACCEPTED}")
    if found := _METRIC.fullmatch(said.replace("m", "M", 1) if said[:1] == "m" else said):
        return _checked(Thread(said, float(found[1]) * 1e-3, float(found[2].replace(",", ".")) * 1e-3, None))
    if found := _INCH.fullmatch(said):
        per_inch = int(found[2])
        return _checked(Thread(said, UNITS["in"].to_si(number_of(found[1])), UNITS["in"].scale / per_inch, per_inch))
    raise BadValue(_which_thread(said))


def _which_thread(said: str) -> str:
    """A diameter alone is not a stud: say which threads it comes with."""
    found = _NO_THREAD.fullmatch(said)
    if not found:
        return f"{said!r} is not a stud size; {ACCEPTED}"
    if found[1] or said.endswith("mm"):
        return f"{said!r} is a diameter; which thread? Write the pitch with it, such as M24x3"
    usual = common_size(UNITS["in"].to_si(number_of(found[2])))
    return f"{said!r} is a diameter; which thread? Write the threads per inch with it{f', such as {usual}' if usual else ', such as 1-8'}"


def _checked(t: Thread) -> Thread:
    mm = t.diameter * 1e3
    if not _SMALLEST_MM <= mm <= _LARGEST_MM:
        raise BadValue(f"{t.size!r} is {mm:.4g} mm in diameter; accepted: studs of {_SMALLEST_MM:g} to {_LARGEST_MM:g} mm (1/4 to 7 in)")
    if not _FINEST * t.diameter <= t.pitch <= _COARSEST * t.diameter:
        raise BadValue(f"{t.size!r} has a pitch of {t.pitch * 1e3:.4g} mm on {mm:.4g} mm, which no stud has; {ACCEPTED}")
    return t


def common_size(diameter: float) -> str | None:
    """The common stud thread of a diameter in metres (UNC to 1 in, 8UN above), or None."""
    for row in table("stud_threads").values():
        if abs(row.need("diameter") - diameter) < 1e-6:
            return row.key
    return None


def thread_lines(w: Working, t: Thread, *, core: bool = True) -> None:
    """Write D, p and (with `core`) A_r, A_s and d_2 into a working, in the symbols of the thread standard."""
    w.given("D", "nominal diameter", Quantity(t.diameter, "mm" if t.metric else "in", t.size), "mm" if t.metric else "in")
    if t.per_inch is None:
        w.given("p", "pitch", Quantity(t.pitch, "mm", t.size), "mm")
    else:
        w.given("n_t", "threads per inch", Quantity(float(t.per_inch), "count", t.size), "count")
        w.step("p = inch/n_t", "mm", "pitch", "thread basics", source=t.source)
    if core:
        _areas(w, t)


def _areas(w: Working, t: Thread) -> None:
    if t.metric:
        w.step("A_r = pi/4*(D - 1.22687*p)**2", "mm2", "root area", "root diameter d_3", source=t.source)
        w.step("A_s = pi/4*(D - 0.9382*p)**2", "mm2", "tensile stress area", "stress area", source=t.source)
    else:
        w.step("A_r = pi/4*(D - 1.299038*p)**2", "mm2", "root area", "root area, external thread", source=t.source)
        w.step("A_s = pi/4*(D - 0.9743*p)**2", "mm2", "tensile stress area", "tensile stress area", source=t.source)
    w.step("d_2 = D - 0.649519*p", "mm", "pitch diameter", "basic pitch diameter", source=t.source)
    if not t.metric and not t.listed:
        say_unlisted(w, t)


def say_unlisted(w: Working, t: Thread) -> None:
    """A remark on an inch thread that studs seldom have: 1-1/8-7 or 3/4-16 may be a slip of the pen."""
    usual = common_size(t.diameter)
    hint = f"; studs of that diameter are usually {usual}" if usual else ""
    say = f"{t.size} is not one of the common stud threads{hint}. Put a thread gauge on one before the number is used."
    w.say("note", say, "common stud threads", B1_1)


def area_line(w: Working, area: str) -> Step:
    """`A`, the stud area the load or stress is reckoned on: root (the default of the codes) or tensile.

    Nothing said ("") is root: an assumption, and the working, its list of assumptions and a note say so.
    """
    if not area:
        return _area_assumed(w)
    if area == "tensile":
        return w.step("A = A_s", "mm2", "stud area used: tensile", "stress on the tensile area, as asked")
    return w.step("A = A_r", "mm2", "stud area used: root", "bolt area is root area", source=source("asme-pcc-1"))


def _area_assumed(w: Working) -> Step:
    pcc_1 = source("asme-pcc-1")
    w.assumed("x_A", "stud area the target stress is on (0 root, 1 tensile)", 0, "-", "on root area (PCC-1), as nothing else is said")
    more = (w["A_s"] / w["A_r"] - 1) * 100
    say = (
        "The target stress is taken on root area, as nothing else is said. "
        f"Meant on tensile area, load and torque would be {more:.0f} % higher: ask who set it, and write stress_area."
    )
    w.say("note", say, "bolt area is root area", pcc_1)
    return w.step("A = A_r if x_A < 1 else A_s", "mm2", "stud area used: root", "bolt area is root area", source=pcc_1)


def size_word() -> str:
    """The field of a calculation that holds a stud size."""
    return word("stud size", check=thread)  # type: ignore[no-any-return]


def area_word() -> str:
    """The field that chooses the area."""
    return word("stud area", AREAS, default="root")  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stud:
    """One stud size."""

    size: str = size_word()


@calculation("bolt-area", B1_1, Stud, "tensile_area=A_s@mm2 root_area=A_r@mm2 pitch_diameter=d_2@mm")
def bolt_area(w: Working, stud: Stud) -> None:
    """Areas and pitch diameter of a stud thread."""
    w.take_in(stud)
    thread_lines(w, thread(stud.size))
