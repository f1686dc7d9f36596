"""One calculation: a function over a small frozen dataclass whose field names are the keys a person types."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, field, fields
from difflib import get_close_matches
from typing import Any

from boxup.core.finding import Finding
from boxup.core.quantity import BadValue, Quantity, example, quantity
from boxup.core.source import SAID, Source
from boxup.core.unit import UNITS, units_like
from boxup.core.working import Assumed, CannotWork, Computed, Entered, Kernel, Solved, Step, TableRow, Taken, Working

STANDARD_GRAVITY = 9.80665  # m/s2, exact by definition (CGPM 1901)


class BadInput(ValueError):
    """Everything that is wrong with what was typed, one sentence each."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


def number(symbol: str, label: str, unit: str, *, optional: bool = False, above: float | None = None, least: float | None = None,
           most: float | None = None, mass_too: bool = False, below: str = "") -> Any:  # fmt: skip
    """A field holding a Quantity. Bounds are in `unit`; `above` excludes its value. `mass_too`: a weight may be typed as kg, lb or t.
    `below`: said with the refusal of what is under the bounds, where something else handles it."""
    meta = {"symbol": symbol, "label": label, "unit": unit, "above": above, "least": least, "most": most, "mass_too": mass_too,
            "below": below}  # fmt: skip
    return field(default=None, metadata=meta) if optional else field(metadata=meta)


def word(label: str, accepted: tuple[str, ...] = (), *, default: str | None = None, check: Callable[[str], object] | None = None) -> Any:
    """A field holding a word: one of `accepted`, or anything `check` does not refuse with BadValue."""
    meta = {"label": label, "accepted": accepted, "check": check}
    return field(metadata=meta) if default is None else field(default=default, metadata=meta)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a calculation gives. `lists` holds answers that are not one number (orders, counts by pass, words)."""

    name: str
    working: Working
    values: dict[str, Step]
    lists: dict[str, tuple[Any, str]]
    units: dict[str, str]

    @property
    def findings(self) -> list[Finding]:
        return self.working.all_findings()

    def si(self, key: str) -> float:
        """The SI value of one answer."""
        return self.values[key].si  # type: ignore[no-any-return]

    def quantity(self, key: str) -> Quantity:
        """One answer as a quantity for another calculation."""
        s = self.values[key]
        return Quantity(s.si, s.unit, f"{self.name}: {s.symbol}")

    def as_json(self) -> dict[str, Any]:
        """The shape `calc --json` prints."""
        answers: dict[str, Any] = {k: {"value": UNITS[self.units[k]].from_si(s.si), "unit": self.units[k]} for k, s in self.values.items()}
        answers |= {k: {"value": v, "unit": u} for k, (v, u) in self.lists.items()}
        steps = [_step_json(part, s) for part, s in self.working.all_steps()]
        return {"name": self.name, "answers": answers, "findings": [f.as_json() for f in self.findings], "steps": steps}


def _step_json(part: str, s: Step) -> dict[str, Any]:
    return {"symbol": f"{part}: {s.symbol}" if part else s.symbol, "label": s.label, "formula": s.line, "value": s.value, "unit": s.unit,
            "cite": str(s.cite or ""), "kind": kind_of(s)}  # fmt: skip


def kind_of(s: Step) -> str:
    """How a line came about, in one word or two: entered, measured, table row, assumed, or the label of its source."""
    match s.origin:
        case Entered(grade=grade):
            return grade
        case Assumed():
            return "assumed"
        case Taken():
            return "carried over"
        case Computed() | TableRow() | Kernel() | Solved():
            return SAID[s.cite.source.label] if s.cite else ""


@dataclass(frozen=True, slots=True)
class Calculation:
    """A named calculation: what it takes, what it gives, and the function that works it."""

    name: str
    room: str
    source: Source
    given: type
    answers: dict[str, tuple[str, str]]
    work: Callable[..., Any]

    def run(self, given: Any) -> Answer:
        """Work it on its dataclass. Raises BadInput when the numbers cannot be worked."""
        _refuse_together(given)
        w = Working(self.name, self.source)
        try:
            lists = self.work(w, given) or {}
        except CannotWork as bad:
            raise BadInput([str(bad)]) from bad
        values = {k: w.steps[s] for k, (s, _) in self.answers.items() if s in w.steps}
        units = {k: self.answers[k][1] or s.unit for k, s in values.items()}
        return Answer(self.name, w, values, lists, units)

    def parse(self, typed: Mapping[str, str]) -> Any:
        """The dataclass from typed keys. Raises BadInput with every problem at once."""
        return parse_given(self.given, typed, self.name)


REGISTRY: dict[str, Calculation] = {}


def calculation(name: str, source: Source, given: type, answers: str = "") -> Callable[[Callable[..., Any]], Calculation]:
    """Register a function as the calculation `name`.

    `answers`: `key=symbol` or `key=symbol@unit` (the unit JSON gives it in); list answers come back from the function.
    """

    def wrap(work: Callable[..., Any]) -> Calculation:
        room = ([*work.__module__.split("."), ""])[1]
        pairs = (a.split("=", 1) for a in answers.split())
        spelt = {k: (s.partition("@")[0], s.partition("@")[2]) for k, s in pairs}
        made = Calculation(name, room, source, given, spelt, work)
        REGISTRY[name] = made
        return made

    return wrap


def parse_given(given: type, typed: Mapping[str, str], name: str) -> Any:
    """Read typed `key: text` into the dataclass `given`; all problems at once."""
    problems: list[str] = []
    values: dict[str, Any] = {}
    known = {f.name.removesuffix("_"): f for f in fields(given)}  # `from_`: a key that is a word of the language
    for key in typed:
        if key not in known:
            near = get_close_matches(key, known, 1)
            problems.append(f"{key}: {name} has no such key{f'; did you mean {near[0]}?' if near else ''} It takes: {', '.join(known)}.")
    for key, f in known.items():
        try:
            if key in typed:
                values[f.name] = _read(f.metadata, typed[key])
            elif f.default is MISSING and f.default_factory is MISSING:
                problems.append(f"{key}: missing ({f.metadata['label']}). {_accepts(f.metadata)}")
        except BadValue as bad:
            problems.append(f"{key}: {bad}")
    if problems:
        raise BadInput(problems)
    made = given(**values)
    _refuse_together(made)
    return made


def _refuse_together(given: Any) -> None:
    """A dataclass may have `problems()`: sentences on values that do not fit each other."""
    if hasattr(given, "problems") and (wrong := given.problems()):
        raise BadInput(wrong)


def _read(meta: Mapping[str, Any], text: str) -> Any:
    if "unit" not in meta:
        return _read_word(meta, text)
    got = _weight(text, meta["unit"]) if meta.get("mass_too") else quantity(text, meta["unit"])
    check_bounds(got, meta)
    return got


def _weight(text: str, unit: str) -> Quantity:
    """A force, or the weight of a mass: people say how heavy a thing is in kg."""
    try:
        mass = quantity(text, "kg")
    except BadValue:
        return quantity(text, unit)
    return Quantity(mass.si * STANDARD_GRAVITY, unit, f"{mass.typed}, as a weight at standard gravity")


def _read_word(meta: Mapping[str, Any], text: str) -> str:
    accepted = meta["accepted"]
    if accepted and text not in accepted:
        raise BadValue(f"{text!r} is not accepted; accepted: {', '.join(accepted)}")
    if meta["check"]:
        meta["check"](text)
    return text


def check_bounds(got: Quantity, meta: Mapping[str, Any]) -> None:
    """Raise BadValue when a quantity lies outside the bounds of its field."""
    u = UNITS[meta["unit"]]
    bounds = (("above", got.si.__le__, "more than"), ("least", got.si.__lt__, "at least"), ("most", got.si.__gt__, "at most"))
    for bound, breaks, said in bounds:
        b = meta.get(bound)
        if b is not None and breaks(u.to_si(b)):
            more = f". {meta['below']}" if meta.get("below") and bound != "most" else ""
            raise BadValue(f"{got.typed!r} is out of range for the {meta['label']}; accepted: {said} {b:g} {u.sign}".rstrip() + more)


def _accepts(meta: Mapping[str, Any]) -> str:
    if "unit" not in meta:
        return f"Accepted: {', '.join(meta['accepted'])}." if meta["accepted"] else "A word."
    return f"Accepted: {units_like(meta['unit'])}; for example {example(meta['unit'])!r}."
