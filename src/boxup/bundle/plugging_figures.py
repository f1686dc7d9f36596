"""The figures of a plugged bundle as people read them: shares, ratios, velocities, by pass and in one line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.bundle.after_plugging import AfterPlugging
from boxup.bundle.wrong_way import LooseRib, WrongWay
from boxup.core.rounding import both

NOTHING = "–"


@dataclass(frozen=True, slots=True)
class PassRow:
    """One pass: holes, open ones, what runs there and what it costs, before and now; a dash where the data sheet is not given."""

    number: int
    holes: int
    open: int
    velocity_before: str
    velocity: str
    drop_before: str
    drop: str


@dataclass(frozen=True, slots=True)
class Figures:
    """All as text. `duty`, `drop`, `velocity` are empty without a data sheet; `times`: the fastest velocity, as a ratio."""

    shut: str
    holes: str
    share: str
    worst: str
    worst_share: str
    area: str
    times: str
    duty: str = ""
    duty_kw: str = ""
    duty_before: str = ""
    drop: str = ""
    drop_kpa: str = ""
    velocity: str = ""
    velocity_before: str = ""


def figures(a: AfterPlugging) -> Figures | None:
    """None without a tube map, or with a pass that has no open tube left."""
    t = a.tubes
    if t is None or min(t.open) < 1:
        return None
    times, area = a.ratio("y_v"), a.ratio("y_A")
    assert times is not None, "there is a map"
    assert area is not None, "there is a map"
    always = {"shut": str(sum(t.shut)), "holes": str(sum(t.holes)), "share": percent(t.share), "worst": str(t.worst_pass),
              "worst_share": percent(t.worst_share), "area": percent(area), "times": ratio(times)}  # fmt: skip
    if a.before is None or a.after is None:
        return Figures(**always)
    w = a.working
    return Figures(
        **always, duty=less(w["y_Q"]), duty_kw=both("duty", w["Q_2"]), duty_before=both("duty", w["Q_1"]), drop=ratio(w["y_p"]),
        drop_kpa=kilopascal(w["Dp_2"]), velocity=both("velocity", w["v_2"]), velocity_before=both("velocity", w["v_1"]),
    )  # fmt: skip


def pass_rows(a: AfterPlugging) -> Iterator[PassRow]:
    """Every pass in its order."""
    if a.tubes is None:
        return
    for i, (holes, left) in enumerate(zip(a.tubes.holes, a.tubes.open, strict=True), start=1):
        if a.before and a.after:
            yield PassRow(i, holes, left, both("velocity", a.before.si(f"v_{i}")), both("velocity", a.after.si(f"v_{i}")),
                          kilopascal(a.before.si(f"Dp_{i}")), kilopascal(a.after.si(f"Dp_{i}")))  # fmt: skip
        else:
            yield PassRow(i, holes, left, *(NOTHING,) * 4)


def line(a: AfterPlugging, tubes: str = "tubes") -> str:
    """The mechanic's line, in English; "" without a map. `tubes`: what is counted, holes of U-tubes."""
    f = figures(a)
    if f is None:
        return ""
    if f.shut == "0":
        return f"none of {f.holes} {tubes} plugged or to plug{f'; velocity {f.velocity} in the fastest pass' if f.velocity else ''}"
    counted = f"{f.shut} of {f.holes} {tubes} plugged or to plug ({f.share}), worst pass {f.worst} ({f.worst_share})"
    if not f.duty:
        return f"{counted}; velocity in the fastest pass times {f.times}"
    return (
        f"{counted}; duty about {f.duty}, pressure drop times {f.drop}, velocity {f.velocity} in the fastest pass, "
        f"{f.velocity_before} with every tube open"
    )


def loose_line(rib: LooseRib) -> str:
    """What a rib that does not touch costs, in English."""
    past = f"pass {rib.first}" if rib.first == rib.last else f"passes {rib.first} to {rib.last}"
    return (f"rib of the {rib.end} gasket between passes {rib.between[0]} and {rib.between[1]}, 0.5 mm of light under it: "
            f"{percent(rib.share)} of the flow goes past {past}, duty about {less(rib.duty_ratio)}")  # fmt: skip


def wrong_lines(found: WrongWay) -> Iterator[str]:
    """What no pressure test tells, in English."""
    yield from map(loose_line, found.ribs)
    if abs(found.reversed - 1) >= 0.0005:
        yield f"tube flow the other way, in where it should come out: duty about {less(found.reversed)}"
    if found.end_space is not None:
        yield f"bundle half a turn round, one end space of the shell slipped past: duty about {less(found.end_space)}"


def percent(share: float) -> str:
    """`0.7 %`."""
    return f"{100 * share:.1f} %"


def ratio(x: float) -> str:
    """`1.01`: as far as anybody can tell them apart."""
    return f"{x:.2f}" if abs(x - 1) >= 0.01 else f"{x:.3f}"


def less(x: float) -> str:
    """`−2.7 %`; one that cannot be told from none is said so. A ratio over 1 gives a plus."""
    change = 100 * (x - 1)
    if abs(change) < 0.05:
        return "−0.0 %" if change < 0 else "+0.0 %"
    return f"{change:+.1f} %".replace("-", "−")


def kilopascal(pa: float) -> str:
    """`6.8 kPa (0.98 psi)`."""
    return f"{pa / 1e3:.1f} kPa ({pa / 6894.757:.2f} psi)"
