"""What lifts: gear with its tag, and the crane with the rows of its chart. None of it is ever assumed."""

from __future__ import annotations

from dataclasses import dataclass, field

from boxup.core.quantity import Quantity
from boxup.exchanger.field import num, opt


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """[gear.SL1]: lifting gear with the capacity on its tag. Never assumed. A tag speaks of a vertical hitch unless it says which."""

    id: str
    kind: str = opt("kind")
    capacity: Quantity | None = num("C", "capacity on the tag", "kg", above=0)
    use: str = opt("what it is for")
    inspected: str = opt("when its tag was read and it was looked over, year-month-day")
    made: str = opt("what a sling is made of", ("wire", "web", "round"))
    hitch: str = opt("hitch a sling is used in", ("vertical", "choker", "basket"))
    tag_hitch: str = opt("hitch the capacity on the tag is for, where it is no vertical one", ("vertical", "choker", "basket"))
    length: Quantity | None = num("l_g", "length of a sling, eye to eye", "m", above=0, most=200)
    choke_angle: Quantity | None = num("beta", "choke angle", "deg", least=0, most=180)
    leg_angle: Quantity | None = num("theta", "legs of the basket or of the set, from the horizontal", "deg", above=0, most=90)
    wrapped: Quantity | None = num("D", "diameter of what a wire rope is wrapped round", "mm", above=0, most=2e4)
    rope: Quantity | None = num("d", "diameter of the rope", "mm", above=0, most=200)
    legs: Quantity | None = num("n", "legs of the set, each with this capacity", "count", least=1, most=4)
    size: str = opt("size of an eyebolt, such as 3/4 or M24")
    pull_angle: Quantity | None = num("alpha", "pull, from the shank of an eyebolt or the line of a shackle", "deg", least=0, most=90)

    @property
    def unhung(self) -> str:
        """Why its capacity cannot be told without the hitch it is used in, which nobody gave; "" where it can."""
        if self.hitch:
            return ""
        if self.tag_hitch:
            return f"its tag is for a {self.tag_hitch} hitch"
        return "it has a choke angle" if self.choke_angle else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """One row of a crane's chart: what it may carry out to that radius, hook block and gear included."""

    radius: Quantity
    capacity: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Crane:
    """[crane]: the crane that carries what hangs on its hook, and the chart rows somebody typed in. None of it is assumed."""

    name: str = opt("the crane, as the site calls it")
    use: str = opt("what it lifts; the bundle where nothing is said")
    configuration: str = opt("what the chart rows are for: boom, counterweight, outriggers, side")
    chart: tuple[ChartRow, ...] = field(default=(), metadata={"label": "rows of the maker's chart, radius and capacity"})
    radius: Quantity | None = num("r", "largest radius of the move", "m", above=0, most=200)
    highest: Quantity | None = num("h_g", "the highest the hook goes over the ground", "m", above=0, most=200)
    hook_block: Quantity | None = num("m_hb", "hook block", "kg", least=0, most=1e5)
    slings: Quantity | None = num("m_sl", "slings and shackles", "kg", least=0, most=1e5)
    spreader: Quantity | None = num("m_sp", "spreader or cradle", "kg", least=0, most=1e5)
    rope: Quantity | None = num("m_rp", "rope below the boom tip", "kg", least=0, most=1e5)
    most_share: Quantity | None = num("u_max", "most of the chart the site lifts without more", "-", above=0, most=1)
    wind_limit: Quantity | None = num("v", "wind at which its maker, or the site, stops it", "m/s", above=0, most=50)

    @property
    def given(self) -> bool:
        """Whether anybody said anything of a crane."""
        return self != Crane()
