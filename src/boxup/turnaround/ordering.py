"""What is ordered for all exchangers together: gaskets, studs and nuts, lubricant; and what cannot be, because nobody has given it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.exchanger import joints
from boxup.exchanger.missing import missing
from boxup.exchanger.model import Exchanger, Gasket, Joint, Nozzle, Studs
from boxup.exchanger.ribs import rib_lines
from boxup.job.flags import FlagError
from boxup.job.lists import scope_of
from boxup.job.scope import ScopeError
from boxup.turnaround.gasket_kind import made_of, shown_facing
from boxup.turnaround.listing import Head, Listing
from boxup.turnaround.shared import Mates, mates_of

_NO_FLAT_GASKET = (joints.STUFFING_BOX, joints.SHELL_PACKING, joints.CHANNEL_PACKING, joints.CLOSURE)


Gaskets = dict[tuple[str, ...], list[tuple[str, int]]]  # what is bought: where it goes, and its spares
Sets = dict[tuple[str, ...], list[tuple[str, int]]]  # studs that are the same: where they go, and how many


@dataclass(frozen=True, slots=True)
class GasketLine:
    """Gaskets that are the same in everything that is bought. `ribs` names the drawing where there are ribs."""

    kind: str
    metal: str
    facing: str
    size: str
    ribs: str
    fitted: int
    spares: int
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StudLine:
    """Studs of one size, grade, nut and length."""

    size: str
    grade: str
    nut: str
    length: str
    count: int
    spares: int
    places: tuple[str, ...]

    @property
    def studs(self) -> int:
        return self.count + self.spares


@dataclass(frozen=True, slots=True)
class Lacking:
    """One thing that cannot be ordered yet."""

    tag: str
    what: str
    known: str
    lacks: str
    do: str


@dataclass(frozen=True, slots=True)
class Order:
    """The order list of all of them."""

    gaskets: tuple[GasketLine, ...]
    studs: tuple[StudLine, ...]
    lubricants: tuple[tuple[str, tuple[str, ...]], ...]
    lacking: tuple[Lacking, ...]
    about: tuple[str, ...]
    closed: tuple[str, ...] = ()  # joints the job leaves closed, for which nothing is ordered

    @property
    def summary(self) -> str:
        pieces, studs = sum(g.fitted + g.spares for g in self.gaskets), sum(s.studs for s in self.studs)
        said = f"{len(self.gaskets)} gasket items, {pieces} pieces; {len(self.studs)} stud items, {studs} studs"
        return f"{said}; {len(self.lacking)} cannot be ordered yet"

    @property
    def told(self) -> list[str]:
        """What cannot be ordered: things of one exchanger that lack the same, in one line."""
        alike: dict[tuple[str, str, str], list[str]] = {}
        for k in self.lacking:
            alike.setdefault((k.tag, k.lacks, k.do), []).append(k.what)
        told = [f"  {tag} {'; '.join(whats)}: {lacks} not given; {do}" for (tag, lacks, do), whats in alike.items()]
        return [*told, *([f"  {_closed_line(self.closed)}"] if self.closed else [])]


def order_of(exchangers: Iterable[Exchanger], spare: float = 0.0) -> Order:
    """The order list. `spare` is per cent of studs and nuts beyond the count, rounded up line by line; gasket spares are the files' own."""
    all_of_them = tuple(exchangers)
    gaskets: Gaskets = {}
    studs: Sets = {}
    lubricants: dict[str, list[str]] = {}
    lacking: list[Lacking] = []
    closed: list[str] = []
    mates = mates_of(all_of_them)
    for x in all_of_them:
        opened = _opened(x)
        closed += [f"{x.identity.tag} {j.id}" for j in x.joints if j.id not in opened]
        lacking += _gaskets(x, opened, gaskets)
        lacking += _studs(x, opened, studs, lubricants)
        lacking += _nozzles(x, mates, gaskets, lubricants)
    return Order(
        tuple(_gasket_line(key, found) for key, found in sorted(gaskets.items())),
        tuple(_stud_line(key, found, spare) for key, found in sorted(studs.items())),
        tuple((name, tuple(places)) for name, places in sorted(lubricants.items())),
        tuple(lacking),
        tuple(_about(all_of_them, spare, closed)),
        tuple(closed),
    )


def _opened(x: Exchanger) -> set[str]:
    """The joints the job opens, by the same lists as the order of work; all of them where the options cannot be as they stand."""
    every = {j.id for j in x.joints}
    try:
        return every - scope_of(x).left_alone
    except (FlagError, ScopeError):
        return every


def _closed_line(closed: Iterable[str]) -> str:
    return f"Not opened by the job, so nothing is ordered for them: {', '.join(closed)}. Opened all the same, each takes its gasket."


def _gaskets(x: Exchanger, opened: set[str], into: Gaskets) -> Iterator[Lacking]:
    tag = x.identity.tag
    for j in (j for j in x.joints if j.id in opened):
        if j.kind in _NO_FLAT_GASKET:
            yield Lacking(
                tag, f"{j.id}, {j.between}", "", "packing, rings or seals", "the maker's drawing and procedure say what it takes."
            )
            continue
        g = j.gasket
        lacks = [words for words, given in _wanted_of(x, j, g) if not given]
        if g is None or lacks:
            yield Lacking(tag, f"gasket of {j.id}, {j.between}", _known(g), ", ".join(lacks), _do(x, j, "gasket", lacks))
        else:
            ribs = f"{j.ribs_end} ribs of {tag}, {_mm(g.rib_width)} mm: its own drawing" if _ribs(x, j) else ""
            key = (g.kind, g.metal, shown_facing(g.kind, g.facing), f"{_mm(g.od)} / {_mm(g.id_)} x {_mm(g.thickness)}", ribs)
            into.setdefault(key, []).append((f"{tag} {j.id} ({g.id})", int(g.spares.si) if g.spares else 0))


def _ribs(x: Exchanger, j: Joint) -> bool | None:
    """Whether this gasket has pass ribs; None where the passes are not known: it may have, and is not called plain."""
    if j.ribs_end not in ("front", "rear"):
        return False
    lines = rib_lines(x, "front" if j.ribs_end == "front" else "rear")
    return None if isinstance(lines, Missing) else bool(lines)


def _wanted_of(x: Exchanger, j: Joint, g: Gasket | None) -> Iterator[tuple[str, object]]:
    made = made_of(g.kind if g else "")
    yield "kind", g and g.kind
    if made.metal:
        yield "metal", g and g.metal
    if made.facing:
        yield "facing or filler", g and g.facing
    yield "size (outside and inside diameter)", g and g.od and g.id_
    yield "thickness", g and g.thickness
    ribs = _ribs(x, j)
    if ribs is not False:
        yield "passes and their layout (for its ribs)", ribs is not None
        yield "rib width", g and g.rib_width


def _known(g: Gasket | None) -> str:
    if g is None:
        return ""
    words = [g.kind, g.metal, g.facing, *(q.typed for q in (g.od, g.id_, g.thickness) if q)]
    return ", ".join(filter(None, words))


_ASK = {
    "metal": "read the tag on the gasket and the gasket list", "facing or filler": "read the tag on the gasket and the gasket list",
    "rib width": "measure a rib of the old gasket, or read its drawing",
    "passes and their layout (for its ribs)": "read passes and layout on the drawing",
    "lubricant": "read the tin that will be used, or ask which one is the site's",
    "kind": "read the tag on the gasket and the gasket list; both must say the same",
}  # fmt: skip


def _do(x: Exchanger, j: Joint, what: str, lacks: list[str]) -> str:
    """Where to get it: the sentences of `boxup check`, where it has one."""
    told = {m.number: m.do for m in missing(x)}
    where = f"for {j.id}, {j.between}"
    found = [_ASK.get(one) or told.get(f"{what} {one.split(' (')[0]} {where}", "").rstrip(".") for one in lacks]
    return "; ".join(dict.fromkeys(filter(None, found))) + "."


def _studs(x: Exchanger, opened: set[str], into: Sets, lubricants: dict[str, list[str]]) -> Iterator[Lacking]:
    """Each set once, however many joints it clamps."""
    done: set[str] = set()
    for j in (j for j in x.joints if j.id in opened):
        if j.studs and j.studs.id not in done:
            done.add(j.studs.id)
            yield from _set(x, j, j.studs, into, lubricants)
        elif j.studs is None and j.kind not in _NO_FLAT_GASKET and not _shares(x, j):
            lacks = ["count", "size", "grade", "length", "lubricant"]
            yield Lacking(x.identity.tag, f"studs of {j.id}, {j.between}", "", ", ".join(lacks), _do(x, j, "stud", lacks))


def _set(x: Exchanger, j: Joint, s: Studs, into: Sets, lubricants: dict[str, list[str]]) -> Iterator[Lacking]:
    tag, named = x.identity.tag, ", ".join(s.joints)
    lacks = [words for words, given in (("count", s.count), ("size", s.size), ("grade", s.grade), ("length", s.length)) if not given]
    if s.lubricant:
        lubricants.setdefault(s.lubricant, []).append(f"{tag} {s.id}")
    else:
        yield Lacking(tag, f"lubricant of {named}", "", "lubricant", _ASK["lubricant"] + ".")
    if s.count and s.length and not lacks:
        key = (s.size, s.grade, s.nut, f"{_mm(s.length)} mm")
        into.setdefault(key, []).append((f"{tag} {named} ({s.id})", int(s.count.si)))
    else:
        yield Lacking(tag, f"studs of {named}, {j.between}", _known_studs(s), ", ".join(lacks), _do(x, j, "stud", lacks))


def _shares(x: Exchanger, j: Joint) -> bool:
    """Whether another joint of its group stands for the studs of both."""
    together = [o for o in x.joints if joints.group_of(o.kind) == joints.group_of(j.kind)]
    return len(together) > 1 and (any(o.studs for o in together) or together[0] is not j)


def _known_studs(s: Studs) -> str:
    words = [f"{s.count.si:.0f} off" if s.count else "", s.size, s.grade, s.length.typed if s.length else "", s.lubricant]
    return ", ".join(filter(None, words))


def _nozzles(x: Exchanger, mates: Mates, into: Gaskets, lubricants: dict[str, list[str]]) -> Iterator[Lacking]:
    """A nozzle gasket goes by kind, size and class. The length of the studs goes by the flanges and the spool, and no file gives it.

    Bolted to a neighbour without a spool it is one joint of both, bought once: with the one that comes first.
    """
    for n in x.nozzles:
        mate, other = mates.get((x.identity.tag, n.id), (None, n))
        if mate and mate < (x.identity.tag, n.id):
            continue
        both = f" = {' '.join(mate)}" if mate else ""
        place, kinds = f"{x.identity.tag} {n.id}{both}", set(filter(None, (n.gasket, other.gasket)))
        if n.lubricant:
            lubricants.setdefault(n.lubricant, []).append(place)
        if len(kinds) == 1 and n.size and n.flange_class:
            into.setdefault((*kinds, "", "", f"{n.size} class {n.flange_class}, flange standard", ""), []).append((place, 0))
        wanted = [words for words, given in _wanted_of_nozzle(n, kinds) if not given]
        lacks = ", ".join([*wanted, *(["one gasket kind: the two files differ"] if len(kinds) > 1 else []), "stud length"])
        known = " ".join(filter(None, (f"{n.studs.si:.0f} x" if n.studs else "", n.stud_size, n.stud_grade)))
        do = "read the flange rim and the joint list, count the studs and measure one: it goes by both flanges"
        spool = " and what is between them." if n.shared_with else " and the spool."
        yield Lacking(x.identity.tag, f"nozzle {n.id}{both}", known, lacks, do + spool)


def _wanted_of_nozzle(n: Nozzle, kinds: set[str]) -> Iterator[tuple[str, object]]:
    yield from (("size", n.size), ("flange class", n.flange_class), ("gasket kind", kinds), ("stud count", n.studs),
                ("stud size", n.stud_size), ("stud grade", n.stud_grade), ("lubricant", n.lubricant))  # fmt: skip


def _gasket_line(key: tuple[str, ...], found: list[tuple[str, int]]) -> GasketLine:
    kind, metal, facing, size, ribs = key
    return GasketLine(kind, metal, facing, size, ribs, len(found), sum(n for _, n in found), tuple(place for place, _ in found))


def _stud_line(key: tuple[str, ...], found: list[tuple[str, int]], spare: float) -> StudLine:
    count = sum(n for _, n in found)
    size, grade, nut, length = key
    return StudLine(size, grade, nut, length, count, ceil(round(count * spare / 100, 9)), tuple(f"{place}: {n}" for place, n in found))


def _about(exchangers: tuple[Exchanger, ...], spare: float, closed: list[str]) -> Iterator[str]:
    if closed:
        yield _closed_line(closed)
    yield f"For {', '.join(x.identity.tag for x in exchangers)}."
    if made_up := [x.identity.tag for x in exchangers if x.identity.made_up == "yes"]:
        yield f"Invented, nothing to be bought for them: {', '.join(made_up)}."
    yield f"Spare studs and nuts: {spare:g} %, rounded up line by line. Spare gaskets: as the files say, and none where they say nothing."
    yield "One gasket a joint. Opened again after a test, or put to a test ring, a joint takes one more, which the files do not count."
    yield "Two nuts a stud; one where it stands in a tapped hole: look at the drawing. Nut grade as the file says, else not given."
    yield from _shared_lines(exchangers)
    yield "Gaskets of blinds, spools and small bore are not in it. A ribbed gasket is bought by its own drawing: boxup gaskets FILE."


def _shared_lines(exchangers: tuple[Exchanger, ...]) -> Iterator[str]:
    if any(n.shared_with for x in exchangers for n in x.nozzles):
        yield ("A nozzle bolted to a stacked neighbour is one joint, bought once where both exchangers are in this list. Which two belong "
               "together is taken by side and size: look at the drawing.")  # fmt: skip


def _mm(q: Quantity | None) -> str:
    return f"{q.to('mm'):.2f}".rstrip("0").rstrip(".") if q else ""


_GASKET_WIDTHS = {"kind": 20, "metal": 14, "facing or filler": 18, "OD / ID x thickness, mm": 24, "ribs": 44, "fitted": 10, "spares": 10,
                  "to order": 10, "for": 60}  # fmt: skip
_STUD_WIDTHS = {"size": 10, "grade": 10, "nut": 10, "length": 10, "studs": 10, "spare studs": 10, "studs to order": 10,
                "nuts to order, two a stud": 18, "for": 60}  # fmt: skip
_GASKET_HEADS = tuple(Head(name, width=width) for name, width in _GASKET_WIDTHS.items())
_STUD_HEADS = tuple(Head(name, width=width) for name, width in _STUD_WIDTHS.items())
_LUBRICANT_HEADS = (Head("lubricant", width=30), Head("for", width=80))
_LACKING_WIDTHS = {"exchanger": 16, "what": 44, "known": 50, "not given": 40, "what to do": 80}
_LACKING_HEADS = tuple(Head(name, width=width) for name, width in _LACKING_WIDTHS.items())
_ABOUT_HEADS = (Head("about this list", width=130),)


def listings(order: Order) -> list[Listing]:
    """The order list as sheets."""
    return [
        Listing("gaskets", _GASKET_HEADS, tuple(_gasket_cells(g) for g in order.gaskets), units=False, free=True),
        Listing("studs and nuts", _STUD_HEADS, tuple(_stud_cells(s) for s in order.studs), units=False, free=True),
        Listing(
            "lubricant", _LUBRICANT_HEADS, tuple((name, "; ".join(places)) for name, places in order.lubricants), units=False, free=True
        ),
        Listing(
            "cannot be ordered yet",
            _LACKING_HEADS,
            tuple((k.tag, k.what, k.known, k.lacks, k.do) for k in order.lacking),
            units=False,
            free=True,
        ),
        Listing("about", _ABOUT_HEADS, tuple((line,) for line in order.about), units=False, free=True),
    ]


def one_table(order: Order) -> Listing:
    """The same as one table: the first column says which list a row is of."""
    sheets = listings(order)
    names = list(dict.fromkeys(h.name for s in sheets for h in s.heads))
    rows = [(s.name, dict(zip((h.name for h in s.heads), row, strict=True))) for s in sheets for row in s.rows]
    return Listing(
        "order",
        (Head("list"), *(Head(n) for n in names)),
        tuple((name, *(row.get(n, "") for n in names)) for name, row in rows),
        units=False,
    )


def _gasket_cells(g: GasketLine) -> tuple[str, ...]:
    return (
        g.kind,
        g.metal,
        g.facing,
        g.size,
        g.ribs or "none",
        str(g.fitted),
        str(g.spares),
        str(g.fitted + g.spares),
        "; ".join(g.places),
    )


def _stud_cells(s: StudLine) -> tuple[str, ...]:
    return (
        s.size,
        s.grade,
        s.nut or "not given",
        s.length,
        str(s.count),
        str(s.spares),
        str(s.studs),
        str(2 * s.studs),
        "; ".join(s.places),
    )
