"""The energy a test holds ready, and how far away people are kept. ASME PCC-2, Article 5.1 (later 501), appendices II and III."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.hydro.water import HIGHEST, atmosphere, temperature_field, water_lines
from boxup.reference.load import source

PCC_2 = source("asme-pcc-2")
MEDIA = ("air", "water")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """A volume at test pressure. For water the walls count only where `volume_per_pressure` says what water and walls take together."""

    volume: Quantity = number("V", "volume under pressure", "m3", above=0, most=1e5)
    pressure: Quantity = number("P", "test pressure, gauge", "MPa", above=0, most=1000)
    medium: str = word("medium", MEDIA, default="air")
    temperature: Quantity | None = temperature_field("T", "water temperature", optional=True)
    volume_per_pressure: Quantity | None = number(
        "C", "volume for each pressure, water and walls", "mL/MPa", optional=True, above=0, most=1e9
    )

    def problems(self) -> list[str]:
        """Water past the range of its equation."""
        if self.medium != "water" or self.volume_per_pressure is not None or self.pressure.si <= HIGHEST * 1e6:
            return []
        return [f"pressure: {self.pressure.typed!r} is beyond the water worked here; accepted: at most {HIGHEST:g} MPa, or give "
                "volume_per_pressure."]  # fmt: skip


@calculation("stored-energy", PCC_2, Stored, "energy=U@MJ tnt=m_T@kg least_distance=R_0@m stand_off_floor=R_0@m stand_off=R@m")
def stored_energy(w: Working, given: Stored) -> None:
    """Energy in MJ; for air also the TNT that holds as much and the distance to keep."""
    w.take_in(given)
    if given.medium == "water":
        _water(w, given)
    else:
        _air(w)


def gas_lines(w: Working) -> None:
    """P_a, k and P_at, the absolute of the P of the working."""
    w.constant("P_a", "pressure of the air outside", 0.101, "MPa abs", w.cite("App. II", PCC_2))
    w.constant("k", "ratio of specific heats, air and nitrogen", 1.4, "-", w.cite("App. II", PCC_2))
    w.step("P_at = P + P_a", "MPa abs", "test pressure, absolute", "gauge to absolute", source=PCC_2)


def air_lines(w: Working) -> None:
    """U, m_T and R of a V of air at P, without the findings."""
    gas_lines(w)
    w.step("U = P_at*V/(k - 1)*(1 - (P_a/P_at)**((k - 1)/k))", "MJ", "energy of the gas as it expands", "App. II, (II-1)")
    w.constant("e_T", "energy of a kilogram of TNT", 4.26692, "MJ/kg", w.cite("App. II"))
    w.step("m_T = U/e_T", "kg", "TNT that holds as much", "App. II, (II-3)")
    w.constant("U_1", "up to which 30 m is the least", 135.5, "MJ", w.cite("App. III"))
    w.constant("U_2", "up to which 60 m is the least", 271.0, "MJ", w.cite("App. III"))
    w.step("R_0 = 30*metre if U <= U_1 else 60*metre", "m", "floor of the distance, whatever the TNT", "App. III")
    w.constant("r", "distance for the cube root of a kilogram", 20.0, "m/kg^(1/3)", w.cite("App. III"))
    w.step("R_T = r*(2*m_T)**(1/3)", "m", "distance by the TNT", "App. III, with twice the TNT as later prints have it")
    w.step("R = max(R_0, R_T)", "m", "distance to keep people away: this one", "App. III, the larger")


def _air(w: Working) -> None:
    air_lines(w)
    far, floor, tnt = (f"{w[symbol]:.1f} m" for symbol in ("R", "R_0", "R_T"))
    w.say("note", f"Everybody stays {far} away: the larger of {floor}, the floor, and {tnt} by the TNT.", "App. III")
    large = "More than 271 MJ: split the volume or keep the full distance worked out here; a pneumatic test this large needs the engineer"
    w.limit("U <= U_2", large, "App. III", "warn")
    say = (
        "Air or nitrogen: only where water cannot be used, with a written procedure approved for it, relief, steps, and nobody inside the "
        "distance. Prints of the article differ. Their two figures for TNT, 4.267 MJ/kg and 1,488,617 ft·lbf/lb (4.450 MJ/kg), are 4.3 % "
        "apart: the one that gives more TNT is taken. Later prints have twice the TNT in the distance: that is taken, and is the larger. "
        "Fragments fly farther."
    )
    w.say("stop", say, "pneumatic test")


def _water(w: Working, given: Stored) -> None:
    if given.volume_per_pressure is None:
        if given.temperature is None:
            w.assumed("T", "water temperature", 20, "degC", "not given")
        atmosphere(w)
        w.step("p = P/2 + p_atm", "MPa abs", "mean pressure on the way down", "half way")
        water_lines(w)
        w.step("C = kappa*V", "mL/MPa", "volume for each pressure, water alone", "compressibility times volume")
        say = "The walls are not in it: they hold about as much again as the water in a usual shell. Air in it holds far more."
        w.say("note", say, "elastic energy")
    water_energy(w)
    kill = (
        "Small as it is, water at test pressure kills: jets, plugs, plates and hoses fly. Nobody in line with covers, plugs or ring studs."
    )
    w.say("warn", kill, "water test")


def water_energy(w: Working) -> None:
    """U of the C and P of the working."""
    w.step("U = C*P**2/2", "kJ", "energy of water as it is let down", "elastic energy", source=source("mass-balance"))
