"""The small-bore list: every vent, drain, thermowell, gauge point and plug, counted out and counted in again."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Finding, Missing
from boxup.exchanger.model import SIDES, Exchanger, Opening, SideName
from boxup.reference.load import source

SIGNED = ("out: by", "tag on the piece", "closed for test: by", "back: by", "back: checked")
WEEP_USE = "stays open and clear, also on test"
HIGH, LOW = (10.0, 2.0), (4.0, 8.0)  # clock positions between which an opening counts as high (over 12) or low (over 6)


@dataclass(frozen=True, slots=True)
class OpeningRow:
    """One line, ready for pencil. `use`: the part it can play on a test, "" where the file does not show it."""

    id: str
    side: str
    kind: str
    size: str
    place: str
    use: str
    signed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SmallBore:
    """All rows, those of them that are opened and must be closed again, those that only stay clear, and what a side lacks."""

    rows: tuple[OpeningRow, ...]
    findings: tuple[Finding, ...]
    missing: tuple[Missing, ...]

    @property
    def opened(self) -> tuple[OpeningRow, ...]:
        """What is opened and closed again."""
        return tuple(r for r in self.rows if r.use != WEEP_USE)

    @property
    def weeps(self) -> tuple[OpeningRow, ...]:
        """Weep holes: nobody opens or closes them, they are only kept clear."""
        return tuple(r for r in self.rows if r.use == WEEP_USE)

    @property
    def count(self) -> int:
        """How many are opened, and must be closed again."""
        return len(self.opened)


def small_bore(exchanger: Exchanger) -> SmallBore:
    """The list. Each side needs a high vent and a low drain that can be used while it is tested, and while the other side is."""
    uses = _uses(exchanger)
    rows = tuple(_row(o, uses[o.id]) for o in exchanger.openings)
    found: list[Finding] = []
    missing: list[Missing] = []
    for side in SIDES:
        for use, kind in (("high vent", "vent"), ("low drain", "drain")):
            here = [o for o in exchanger.openings if o.side == side and o.kind == kind]
            if any(uses[o.id] == use for o in here):
                continue
            if _upright(exchanger):
                _lack_upright(exchanger, side, use, here, found, missing)
            else:
                _lack(side, use, here, found, missing)
    return SmallBore(rows, tuple(found), tuple(missing))


def _lack(side: SideName, use: str, here: list[Opening], found: list[Finding], missing: list[Missing]) -> None:
    unplaced = [o.id for o in here if o.clock is None]
    if unplaced:
        where = " or ".join(unplaced)
        do = f"say at what clock position {where} stands ([small_bore.{unplaced[0]}] clock)."
        missing.append(Missing(f"{use} of the {side} side", do))
        return
    vent = "air stays in it and it cannot be opened safely"
    air = vent if use == "high vent" else "it cannot be emptied, and a leak into it does not show"
    text = f"The {side} side has no {use} listed: {air}. List one, or a nozzle or gauge point that does it."
    found.append(Finding("stop", text, f"{source('trade').title}, vent and drain of each side (common practice)"))


def use_of(opening: Opening) -> str:
    """`high vent` or `low drain` by kind and clock position; "" for anything else."""
    if opening.clock is None:
        return ""
    clock = opening.clock.si % 12
    if opening.kind == "vent" and (clock >= HIGH[0] or clock <= HIGH[1]):
        return "high vent"
    return "low drain" if opening.kind == "drain" and LOW[0] <= clock <= LOW[1] else ""


def _upright(exchanger: Exchanger) -> bool:
    return exchanger.identity.position == "vertical"


def _uses(exchanger: Exchanger) -> dict[str, str]:
    """The use of each opening by its id. Upright, the place along the shell says how high it stands, not the clock."""
    if not _upright(exchanger):
        return {o.id: WEEP_USE if o.kind == "weep hole" else use_of(o) for o in exchanger.openings}
    found = {o.id: WEEP_USE if o.kind == "weep hole" else "" for o in exchanger.openings}
    up = {"front": -1, "rear": 1}.get(exchanger.identity.upper_end, 0)
    for side in SIDES:
        for use, kind, way in (("high vent", "vent", up), ("low drain", "drain", -up)):
            here = [(way * o.position.si, o.id) for o in exchanger.openings if o.side == side and o.kind == kind and o.position is not None]
            if here and way:
                found[max(here)[1]] = use
    return found


def _lack_upright(
    exchanger: Exchanger, side: SideName, use: str, here: list[Opening], found: list[Finding], missing: list[Missing]
) -> None:
    if here and not exchanger.identity.upper_end:
        do = "say which end is up: upper_end, front or rear, in [exchanger]. Upright, the place along the shell says how high each stands."
        missing.append(Missing(f"{use} of the {side} side", do))
    elif here:
        do = f"say how far along the shell {' or '.join(o.id for o in here)} stands ([small_bore.{here[0].id}] position)."
        missing.append(Missing(f"{use} of the {side} side", do))
    else:
        _lack(side, use, here, found, missing)


def _row(o: Opening, use: str) -> OpeningRow:
    clock = f"{o.clock.si:g} o'clock" if o.clock is not None else ""
    return OpeningRow(o.id, o.side, o.kind, o.size, ", ".join(p for p in (clock, o.place) if p), use, SIGNED)


def out_equals_back(rows: tuple[OpeningRow, ...], out: set[str], back: set[str]) -> tuple[Finding, ...]:
    """Openings taken out and not closed again, each a stop."""
    open_ = sorted((out - back) & {r.id for r in rows})
    cite = f"{source('trade').title}, count in = count out (common practice)"
    return tuple(Finding("stop", f"{o} was opened and is not back: one open vent is a leak at start-up.", cite) for o in open_)
