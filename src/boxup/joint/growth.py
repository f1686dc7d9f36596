"""How far a length of metal grows from one temperature to another."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import BadInput, calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.metal import named
from boxup.joint.hot_metal import FROM_F, TooHot, growth, growth_row
from boxup.reference.load import Row, source, table

II_D = source("asme-ii-d")


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """A length of metal warmed or cooled. `from` is a word of the language, so the field ends in _."""

    material: str = word("metal, such as carbon steel, low alloy, austenitic, or its grade")
    from_: Quantity = number("T_1", "temperature it starts at", "degC", least=-50, most=1200)
    to: Quantity = number("T_2", "temperature it ends at", "degC", least=-50, most=1200)
    length: Quantity = number("l", "length", "mm", above=0, most=1e6)

    def problems(self) -> list[str]:
        found = [] if _row(self.material) else [f"material: {self.material!r} is not in the tables; accepted: {_known()}"]
        if self.from_.si == self.to.si:
            found.append(f"to: {self.to.typed!r} is where it starts; accepted: another temperature")
        return found


def _row(words: str) -> Row | None:
    return growth_row(words) or named(table("metal_elastic"), words)


def _known() -> str:
    return ", ".join(dict.fromkeys([*table("metal_expansion"), "low alloy", *table("metal_elastic")]))


@calculation("thermal-growth", II_D, Growth, "mean_coefficient=a_m@1/K growth=dl@mm")
def thermal_growth(w: Working, given: Growth) -> None:
    """Growth from the mean coefficients of both temperatures; negative where it shrinks."""
    w.take_in(given)
    row = growth_row(given.material)
    if row is None:
        return _one_figure(w, given)
    try:
        growth(w, "1", row, given.from_)
        growth(w, "2", row, given.to)
    except TooHot as bad:
        raise BadInput([f"to: {bad}"]) from bad
    w.constant("T_0", "temperature the mean coefficients count from", FROM_F, "degF", w.cite("Table TE-1"))
    w.step("dl = l*(a_2*(T_2 - T_0) - a_1*(T_1 - T_0))", "mm", "growth", "Table TE-1, mean from 70 °F")
    w.step("a_m = dl/(l*(T_2 - T_1))", "1/K", "mean coefficient between the two temperatures", "growth over length and difference")
    if min(given.from_.si, given.to.si) < w["T_0"] - 1e-6:
        w.say("note", "The table begins at 70 °F; below it its first coefficient is taken.", "Table TE-1")
    return None


def _one_figure(w: Working, given: Growth) -> None:
    row = named(table("metal_elastic"), given.material)
    assert row is not None  # problems() has refused a metal of no table
    w.table("a_m", f"mean coefficient, {row.key}", row.need("expansion"), "1/K", row.place("expansion"), row.cite)
    w.step("dl = a_m*l*(T_2 - T_1)", "mm", "growth", "one coefficient for all temperatures", source=row.cite.source)
    w.say(
        "note",
        f"One coefficient is known for {row.key}, whatever the temperature: far from room temperature it is rough.",
        "",
        row.cite.source,
    )
