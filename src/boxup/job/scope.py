"""The scope: which steps this exchanger has, and for which joint, gasket, blind, nozzle, tube or test each of them is done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from types import MappingProxyType

from boxup.core.finding import Finding
from boxup.job.flags import Flags, read_options, settle
from boxup.job.only import SIDES, Only, places
from boxup.job.steps import Step, StepError, step_of, steps, unknown_step
from boxup.job.table import read_table
from boxup.job.wording import step_here

# What one item of a list calls the thing it belongs to.
LINKS = {"joints": "studs_of", "gaskets": "joint", "blinds": "nozzle", "lifts": "joint", "tools": "joint"}
# What one item of a list calls the place it stands at, and the place meant where nothing is said.
AT = {"blinds": "at", "openings": "on"}
LISTS = ("joints", "nozzles", "gaskets", "blinds", "openings", "sides", "lifts", "tools", "tests", "tubes")
_LISTS_OF = {
    "joint": ("joints", "nozzles"), "stud set": ("joints",), "nozzle": ("nozzles",), "gasket": ("gaskets",), "blind": ("blinds",),
    "opening": ("openings",), "side": ("sides",), "lift": ("lifts",), "tool": ("tools",), "test": ("tests",), "tube": ("tubes",),
}  # fmt: skip
STRIPPING = "2 strip"
_MAY_BE_EMPTY = ("tubes", "openings")  # an empty list says "none"; any other empty list is taken as not written yet


class ScopeError(ValueError):
    """Item lists that cannot be used. `problems` holds every sentence."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a list. `of` is the joint or nozzle it belongs to (for a joint: the joint whose studs it shares); None is not known.

    `place`: where a blind or an opening stands; whether a joint is opened, a nozzle dropped, a part lifted this time (`places.csv`).
    """

    id: str
    kind: str
    of: str | None = None
    side: str | None = None
    list: str = "joints"
    place: str = ""


@dataclass(frozen=True, slots=True)
class Instance:
    """A step as it stands in this job: for one item, or once."""

    step: Step
    item: Item | None = None

    @property
    def code(self) -> str:
        """`GKT_FH:J4`, or the bare code."""
        return f"{self.step.code}:{self.item.id}" if self.item else self.step.code

    @property
    def side(self) -> str:
        """The side it is on, "" where that is not said."""
        return (self.item.side if self.item else None) or self.step.side

    def what(self, flags: Flags) -> str:
        """What is done, in the words of this exchanger and this item (`wording.csv`)."""
        return self.here(flags).what

    def here(self, flags: Flags) -> Step:
        """Its card in the words of this exchanger and this item: what, who, what to look at, what stops it."""
        return step_here(self.step, flags, (self.item.kind, self.item.place) if self.item else ())


@dataclass(frozen=True)
class Scope:
    """Letters, settled flags and items of one exchanger; no items: every step stands once."""

    letters: str
    flags: Flags
    items: tuple[Item, ...] = ()
    said_none: frozenset[str] = frozenset()  # lists of `_MAY_BE_EMPTY` that were given and are empty
    notes: tuple[Finding, ...] = ()  # what else there is to say about the lists, from whoever made them

    @cached_property
    def by_step(self) -> Mapping[str, tuple[Instance, ...]]:
        """Instances by bare code, in reading order; only steps that exist here."""
        found = {step.code: self._instances(step) for step in steps().values() if step.exists.holds(self.flags)}
        return MappingProxyType({code: instances for code, instances in found.items() if instances})

    @cached_property
    def instances(self) -> Mapping[str, Instance]:
        """Instances by full code, in reading order."""
        return MappingProxyType({one.code: one for group in self.by_step.values() for one in group})

    @cached_property
    def owners(self) -> Mapping[str, Item]:
        """Joints and nozzles by id."""
        return MappingProxyType({item.id: item for item in self.items if item.list in _LISTS_OF["joint"]})

    @cached_property
    def left_alone(self) -> frozenset[str]:
        """The joints that are not opened this time: nothing is bought for them and nothing is bolted."""
        return frozenset(item.id for item in self.owners.values() if item.place == "left alone")

    @cached_property
    def strip_rank(self) -> Mapping[str, int]:
        """The place of every joint and nozzle in stripping, by id: nozzles, covers, what is behind them (`kinds.csv`)."""
        return MappingProxyType({item.id: strip_ranks().get(item.kind, 0) for item in self.owners.values()})

    def takes(self, only: Only, item: Item) -> bool:
        """Whether an item is one of those: by its own kind and place, or by the joint or nozzle it belongs to."""
        owner = self.owners.get(item.of or "") if item.list not in _LISTS_OF["joint"] else None
        return only.takes(
            (item.kind, item.place, *((owner.kind, owner.place) if owner else ())), (item.side, owner.side if owner else None)
        )

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Steps that stand without an item although items of that list are given, and lists that say "none"."""
        lists = {item.list for item in self.items}
        missing: dict[tuple[str, str, str], list[str]] = {}
        for code, group in self.by_step.items():
            wanted = group[0].step
            if group[0].item is None and lists.intersection(_LISTS_OF.get(wanted.per, ())):
                missing.setdefault((wanted.per, wanted.kind, wanted.side), []).append(code)
        listed = (
            Finding("warn", f"No {_words(*key)} is listed, so {', '.join(codes)} stand without an item; add it to the list.")
            for key, codes in missing.items()
        )
        return (*self._blinds_dropped(), *listed, *self.notes)

    def named(self, code: str) -> tuple[Instance, ...]:
        """Every instance a code means: `GKT_FH:J4` is one, the bare code all of them. Not known or not here: StepError."""
        step = step_of(code)
        here = self.by_step.get(step.code, ())
        wanted = code.partition(":")[2].strip()
        if not here:
            raise StepError(f"{step.code} does not exist for {self.letters} with these options and lists: {_absence(step, self.flags)}")
        if not wanted:
            return here
        found = tuple(one for one in here if one.item and one.item.id.casefold() == wanted.casefold())
        if not found:
            raise StepError(unknown_step(code.strip(), [one.code for one in here]))
        return found

    def named_all(self, codes: Iterable[str]) -> dict[str, Instance]:
        """The instances of many codes, by full code; every code that is wrong is told at once (StepError)."""
        found: dict[str, Instance] = {}
        problems: list[str] = []
        for code in codes:
            try:
                found.update((one.code, one) for one in self.named(code))
            except StepError as wrong:
                problems.append(str(wrong))
        if problems:
            raise StepError("\n".join(problems))
        return found

    def _blinds_dropped(self) -> Iterator[Finding]:
        """Process blinds that sit in a joint which is broken: the blind would come off with the spool."""
        for blind in self.items:
            nozzle = self.owners.get(blind.of or "")
            if blind.list == "blinds" and blind.kind == "process" and blind.place == "nozzle" and nozzle and nozzle.place == "dropped":
                text = (
                    f"Process blind {blind.id} sits at nozzle {nozzle.id}, and that joint is broken (its part comes off, or a test blind "
                    f"goes there): the blind would drop and open the plant. Put {blind.id} at the far end of the spool and say so: "
                    'at = "far end".'
                )
                yield Finding("stop", text, "common practice")

    def _instances(self, step: Step) -> tuple[Instance, ...]:
        lists = _LISTS_OF.get(step.per, ())
        here = [item for item in self.items if item.list in lists]
        if self.said_none.intersection(lists):
            return ()
        fitting = [item for item in here if _fits(item, step)]
        chosen = [item for item in fitting if self.takes(step.only, item) and not self._elsewhere(step, item)]
        if fitting and not chosen:
            return ()  # listed, and none of them is done at this step
        if step.phase == STRIPPING:
            chosen.sort(key=lambda item: self.strip_rank.get(item.id, 0))
        return tuple(Instance(step, item) for item in chosen) or (Instance(step),)

    def _elsewhere(self, step: Step, item: Item) -> bool:
        """Whether another step that exists here takes this item instead."""
        return any(
            other.instead_of == step.code and other.exists.holds(self.flags) and _fits(item, other) and self.takes(other.only, item)
            for other in steps().values()
        )


def scope_of_letters(letters: str, with_options: str | Mapping[str, bool] = "", drawn: Mapping[str, bool] | None = None) -> Scope:
    """A scope for bare TEMA letters (`"AES"`) with options (`"plugs,hot,no-st1"` or a mapping); FlagError when refused."""
    options = read_options(with_options) if isinstance(with_options, str) else with_options
    return Scope(letters.strip().upper(), settle(letters, options, drawn))


def scope_of_lists(
    letters: str,
    with_options: str | Mapping[str, bool],
    lists: Mapping[str, Sequence[Mapping[str, str | None]]],
    drawn: Mapping[str, bool] | None = None,
) -> Scope:
    """A scope with items. `drawn`: what the drawing says, where there is one (`flags.csv`, origin drawing).

    `lists` maps a list name (joints, nozzles, gaskets, blinds, openings, lifts, tools, tests, tubes, sides) to its lines.
    Each line has `id`, `kind` where the list has more than one (`kinds.csv`), `side` (shell or tube) where it is known, and its link:
    `joint` for gaskets, lifts and tools, `nozzle` for blinds, `studs_of` for a joint that shares another joint's studs. A blind may say
    `at` (nozzle, far end), an opening `on` (shell, shell cover, channel, ..., nozzle N1). `sides` is filled in when absent. A list
    that is absent leaves its steps standing once, without an item; so does an empty one, except `tubes` and `openings`, where empty says
    "none". Wrong lines: ScopeError with every problem.
    """
    bare = scope_of_letters(letters, with_options, drawn)
    problems = [f"There is no list {name!r}; the lists are {', '.join(LISTS)}." for name in lists if name not in LISTS]
    whole = {"sides": ({"id": "shell", "side": "shell"}, {"id": "tube", "side": "tube"}), **lists}
    items = tuple(_item(name, line, problems) for name in LISTS for line in whole.get(name, ()))
    problems += _twice(items) + _loose(items)
    if problems:
        raise ScopeError(problems)
    items = tuple(replace(item, place=item.place or _part_in_the_job(item, items, bare.flags)) for item in items)
    return Scope(bare.letters, bare.flags, items, frozenset(name for name in _MAY_BE_EMPTY if name in lists and not lists[name]))


@lru_cache(maxsize=1)
def kinds() -> Mapping[str, tuple[str, ...]]:
    """The kinds each list knows, from `kinds.csv`."""
    found: dict[str, tuple[str, ...]] = dict.fromkeys(LISTS, ())
    for line in read_table("kinds.csv", ("list", "kind", "strip", "meaning")):
        found[line["list"]] += (line["kind"],)
    return MappingProxyType(found)


@lru_cache(maxsize=1)
def strip_ranks() -> Mapping[str, int]:
    """The place of each kind of joint when an exchanger is stripped."""
    lines = read_table("kinds.csv", ("list", "kind", "strip", "meaning"))
    return MappingProxyType({line["kind"]: int(line["strip"]) for line in lines if line["strip"]})


def _fits(item: Item, step: Step) -> bool:
    if step.per == "stud set" and item.of:
        return False  # its studs are the other joint's: bolted once
    return (not step.kind or item.kind in step.kinds) and (not step.side or item.side in (None, step.side))


def _item(name: str, line: Mapping[str, str | None], problems: list[str]) -> Item:
    known = kinds()[name]
    text = (line.get("id") or "").strip()
    kind = (line.get("kind") or (known[0] if len(known) == 1 else "")).strip()
    side = (line.get("side") or "").strip()
    link = LINKS.get(name, "")
    place = _place(name, line, side, problems)
    keys = ["id", "kind", "side", *filter(None, (link, AT.get(name)))]
    strange = sorted(set(line) - set(keys))
    if not text or "," in text or text.startswith(":") or any(mark.isspace() for mark in text):
        problems.append(f"{name}: {text!r} cannot be an item's name; accepted is a name without comma or space, such as J4.")
    if kind not in known:
        problems.append(f"{name}, {text}: kind {kind!r} is not known; accepted are {', '.join(known)}.")
    if side not in SIDES:
        problems.append(f"{name}, {text}: side {side!r} is not known; accepted are shell and tube.")
    if strange:
        problems.append(f"{name}, {text}: {', '.join(strange)} is not known; accepted are {', '.join(keys)}.")
    return Item(text, kind, (line.get(link) or "").strip() or None if link else None, side or None, name, place)


def _place(name: str, line: Mapping[str, str | None], side: str, problems: list[str]) -> str:
    """Where a blind or an opening stands. Not said: a blind at its nozzle, an opening on the shell or the channel."""
    key, known = AT.get(name, ""), places().get(name, ())
    if not key:
        return ""
    said = (line.get(key) or "").strip()
    if name == "openings" and said.startswith("nozzle "):
        return "nozzle neck"
    if said and said not in known:
        named = [place if place != "nozzle neck" else "nozzle with its name" for place in known]
        problems.append(f"{name}, {line.get('id')}: {key} {said!r} is not known; accepted are {', '.join(named)}.")
    return said or ("channel" if side == "tube" and name == "openings" else known[0])


def _part_in_the_job(item: Item, items: Sequence[Item], flags: Flags) -> str:
    """Whether a joint is opened, a nozzle dropped and a bundle lifted this time."""
    match item.list, item.kind:
        case "joints", "channel/shell joint":
            reached = flags["pulled"] or item.side != "shell"  # with the bundle left in, the back of the tubesheet stays on its gasket
            return "opened" if reached and flags["girth"] else "left alone"
        case "joints", "floating head":
            return "opened" if flags["rear_open"] else "left alone"
        case "joints", "rear head":
            reached_by_cover = flags["rear"] == "L" and not flags["rear_chan_off"] and any(one.kind == "rear cover" for one in items)
            return "left alone" if reached_by_cover else "opened"
        case "joints", _:
            return "opened"
        case "lifts", "bundle":
            return "lifted" if flags["pulled"] else "left alone"
        case "nozzles", _:
            return _dropped_or_kept(item, items, flags)
    return ""


def _dropped_or_kept(nozzle: Item, items: Sequence[Item], flags: Flags) -> str:
    """A nozzle is kept closed when a process blind sits in its own joint, its part stays on and no test blind takes that place."""
    blinds = [blind for blind in items if blind.list == "blinds" and blind.of == nozzle.id]
    blinded = any(blind.kind == "process" and blind.place == "nozzle" for blind in blinds)
    goes = (nozzle.side != "shell" and bool(flags["girth"] or flags["rear_chan_off"])) or any(blind.kind == "test" for blind in blinds)
    return "kept" if blinded and not goes else "dropped"


def _twice(items: Sequence[Item]) -> list[str]:
    """A name may stand once in its list; joints and nozzles are one list of names, because gaskets and blinds point at them."""
    seen: set[tuple[str, str]] = set()
    problems = []
    for item in items:
        key = ("joints" if item.list == "nozzles" else item.list, item.id.casefold())
        if key in seen:
            problems.append(f"{item.list}: {item.id} stands twice; each item has its own name.")
        seen.add(key)
    return problems


def _loose(items: Sequence[Item]) -> list[str]:
    owners = {item.id for item in items if item.list in _LISTS_OF["joint"]}
    return [
        f"{item.list}, {item.id}: {LINKS[item.list]} {item.of!r} is not in the list of joints and nozzles ({', '.join(sorted(owners))})."
        for item in items
        if item.of and owners and item.of not in owners
    ]


def _absence(step: Step, flags: Flags) -> str:
    if step.exists.holds(flags):
        return "its list is empty."
    return f"it is there only when {step.exists.text}."


def _words(per: str, kind: str, side: str) -> str:
    noun = {"joint": "joint", "stud set": "joint", "nozzle": "nozzle"}.get(per, per)
    where = f" on the {side} side" if side else ""
    return f"{noun} of kind {kind.replace('|', ' or ')}{where}" if kind else f"{noun}{where}"
