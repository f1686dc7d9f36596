"""From the tables of a file to an Exchanger: every section and key, with every problem kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Mapping
from dataclasses import MISSING, Field, dataclass, field, fields
from difflib import get_close_matches
from functools import cache
from typing import Any, TypeVar, cast

from boxup.core.quantity import BadValue, Grade
from boxup.exchanger.crane_chart import as_chart
from boxup.exchanger.joints import JointCalled, joints_of
from boxup.exchanger.letters import BadLetters, Letters, letters
from boxup.exchanger.model import BoreReading, Exchanger, Flange, Gasket, Joint, Studs, TubeRow
from boxup.exchanger.problem import Level, Problem, line_of, sentence
from boxup.exchanger.sections import ALL, FIRST_NAMES, NAMED, PLAIN
from boxup.exchanger.syntax import short
from boxup.exchanger.values import as_date, as_names, as_quantity, as_word, as_yes

T = TypeVar("T")

MOST_HOLES = 300  # in one row, a limit of sense
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,19}")
_LISTS = {"joints": (r"[A-Za-z0-9][\w.-]*", 'joints = ["J2", "J3"]'), "rows": ("", "")}
_ROW_SAMPLE = '["315.9 mm", 16, 1]: height over the centre line, holes, pass'
_ROW_HEIGHT = {"unit": "mm", "label": "height of the row over the centre line"}
_BORE_SAMPLE = '["0.5 m", "811.6 mm", "813.4 mm"]: from the front flange face, least and greatest diameter there'
_BORE = {
    "at": {"unit": "m", "label": "place along the shell, from its front flange face", "least": 0, "most": 100},
    "least": {"unit": "mm", "label": "least diameter there", "above": 0, "most": 2e4},
    "most": {"unit": "mm", "label": "greatest diameter there", "above": 0, "most": 2e4},
}
_HOLE_NAMES = (r"\d{1,3}-\d{1,3}", '["2-6", "14-3"]: row from the top, hole from the left seen from the front')


@dataclass(slots=True)
class Reader:
    """Reads one file; `problems` grows as it goes."""

    name: str
    lines: Mapping[str, int]
    problems: list[Problem] = field(default_factory=list)
    grade: Grade = "entered"
    items: dict[str, tuple[Any, ...]] = field(default_factory=dict)  # what stands under a name, by the field of Exchanger

    def exchanger(self, raw: Mapping[str, Any]) -> Exchanger | None:
        """The exchanger, or None when there are no letters to build it on. Problems may stand in either case."""
        self._unknown_sections(raw)
        self._default_grade(raw)
        plain = {name: self._plain(name, raw.get(name, {})) for name in PLAIN}
        named = {to: self._named(section, cls, raw.get(section, {})) for section, (to, cls) in NAMED.items()}
        self.items = dict(named)
        options = self._options(raw.get("options", {}))
        fitted, to_plug = self._plugs(raw.get("plugs", {}))
        got = self._letters(plain["exchanger"].type)
        if got is None:
            return None
        parts: dict[str, Any] = {to: plain[section] for section, (to, _) in PLAIN.items()}
        gaskets, studs, flanges = named.pop("gaskets"), named.pop("studs"), named.pop("flanges")
        gasket_of, studs_of = self._gaskets_and_studs(joints_of(got, options), str(got), gaskets, studs)
        self._flanges(flanges, [j.id for j in joints_of(got, options)])
        made = tuple(_joint(j, gasket_of.get(j.id), studs_of.get(j.id), flanges) for j in joints_of(got, options))
        parts |= named | {"joints": made, "plugged": fitted, "to_plug": to_plug, "lines": dict(self.lines)}
        return Exchanger(letters=got, options=options, **parts)

    def say(self, key: str, text: str, level: Level = "error") -> None:
        """Keep a problem at the line of its key."""
        self.problems.append(Problem(line_of(self.lines, key), key, sentence(text), level))

    def _where(self, key: str) -> str:
        return f"{self.name} line {line_of(self.lines, key)}"

    def _try(self, key: str, read: Callable[..., T], *args: Any) -> T | None:
        try:
            return read(*args)
        except BadValue as bad:
            self.say(key, str(bad))
            return None

    def _unknown_sections(self, raw: Mapping[str, Any]) -> None:
        for section, value in raw.items():
            if section not in ALL:
                what = "section" if isinstance(value, dict | list) else "key outside a section"
                self.say(section, f"no such {what}{_near(section, ALL)} Accepted sections: {', '.join(ALL)}.")

    def _default_grade(self, raw: Mapping[str, Any]) -> None:
        """Read first: every value after it takes it. A grade that is not accepted is reported with the rest of its section."""
        head = raw.get("exchanger")
        said = head.get("grade") if isinstance(head, dict) else None
        if said in ("drawing", "measured", "assumed", "memory"):
            self.grade = said

    def _plain(self, section: str, raw: object) -> Any:
        cls = PLAIN[section][1]
        fixed = {"name": "shell" if section == "shell_side" else "tube"} if section.endswith("_side") else {}
        return self._build(section, cls, self._table(section, raw), fixed, required=section in self.lines or section == "exchanger")

    def _table(self, section: str, raw: object) -> Mapping[str, Any]:
        if isinstance(raw, dict):
            return raw
        if isinstance(raw, list):
            self.say(section, f"double brackets; a section heading is written {_heading(section)}.")
        else:
            self.say(section, f"{short(repr(raw))} where the section [{section}] is needed.")
        return {}

    def _named(self, section: str, cls: type[Any], raw: object) -> tuple[Any, ...]:
        table = self._table(section, raw)
        loose = [key for key, value in table.items() if not isinstance(value, dict)]
        if loose:
            text = f"{', '.join(loose[:4])} in [{section}], which needs a name in its heading: {_heading(section)}."
            self.say(f"{section}.{loose[0]}", text)
        return tuple(self._one(section, cls, name, value) for name, value in table.items() if isinstance(value, dict))

    def _one(self, section: str, cls: type[Any], name: str, raw: Mapping[str, Any]) -> Any:
        if not _NAME.fullmatch(name):
            self.say(f"{section}.{name}", "a name is up to 20 letters, digits, points, dashes; for example " + FIRST_NAMES[section] + ".")
        return self._build(f"{section}.{name}", cls, raw, {"id": name}, required=True)

    def _build(self, at: str, cls: type[Any], raw: Mapping[str, Any], fixed: Mapping[str, str], *, required: bool) -> Any:
        keys = _keys(cast(Hashable, cls), frozenset(fixed))
        for key in raw:
            if key not in keys:
                self.say(f"{at}.{key}", f"no such key in [{at}]{_near(key, keys)} Accepted: {', '.join(keys)}.")
        values: dict[str, Any] = dict(fixed)
        for key, f in keys.items():
            got = self._value(f"{at}.{key}", key, f, raw[key]) if key in raw else None
            if got not in (None, ""):  # an empty word says no more than a line left out
                values[f.name] = got
            if f.default is MISSING and f.default_factory is MISSING and not values.get(f.name):
                values[f.name] = ""
                if required and got in (None, "") and (key in raw) == (got == ""):
                    self._lacks(at, key, f, given=key in raw)
        return cls(**values)

    def _lacks(self, at: str, key: str, f: Field[Any], given: bool) -> None:
        """Say what is missing, unless its line is there and was set aside as unreadable."""
        if given or f"{at}.{key}" not in self.lines:
            self.say(f"{at}.{key}" if given else at, _missing(key, f))

    def _value(self, at: str, key: str, f: Field[Any], raw: object) -> Any:
        if key in _OF_THREE:
            return self._of_three(at, raw, *_OF_THREE[key])
        if key == "chart":
            return self._try(at, as_chart, raw, self.grade, self._where(at))
        if key in _LISTS:
            return self._try(at, as_names, raw, *_LISTS[key])
        if "unit" in f.metadata:
            return self._try(at, as_quantity, raw, key, f.metadata, self.grade, self._where(at))
        word = self._try(at, as_word, raw, f.metadata)
        return self._try(at, as_date, word) if key in ("calibrated_until", "inspected") and word else word

    def _of_three(self, at: str, raw: object, what: str, sample: str, read: Callable[..., T]) -> tuple[T, ...] | None:
        """A list of lists of three values."""
        if not isinstance(raw, list):
            self.say(at, f"a list of {what}s is needed, each {sample}.")
            return None
        found = [self._try(f"{at}.{n}", self._three, f"{at}.{n}", row, what, sample, read) for n, row in enumerate(raw)]
        return tuple(r for r in found if r)

    def _three(self, at: str, raw: object, what: str, sample: str, read: Callable[..., T]) -> T:
        if not isinstance(raw, list) or len(raw) != 3:
            raise BadValue(f"{short(repr(raw))} is not a {what}; accepted: {sample}")
        return read(self, at, raw)

    def _bore(self, at: str, raw: list[Any]) -> BoreReading:
        place, least, most = (as_quantity(v, k, _BORE[k], self.grade, self._where(at)) for k, v in zip(_BORE, raw, strict=True))
        if least.si > most.si:
            raise BadValue(f"{least.typed!r} least and {most.typed!r} greatest; accepted: {_BORE_SAMPLE}")
        return BoreReading(at=place, least=least, most=most)

    def _row(self, at: str, raw: list[Any]) -> TubeRow:
        y = as_quantity(raw[0], "y", _ROW_HEIGHT, self.grade, self._where(at))
        holes, tube_pass = raw[1], raw[2]
        for n in (holes, tube_pass):
            if isinstance(n, bool) or not isinstance(n, int) or not 1 <= n <= MOST_HOLES:
                raise BadValue(f"{short(repr(n))} in a row where a whole number from 1 to {MOST_HOLES} is needed; accepted: {_ROW_SAMPLE}")
        return TubeRow(y=y, holes=holes, tube_pass=tube_pass)

    def _options(self, raw: object) -> dict[str, bool]:
        table = self._table("options", raw)
        read = {name: self._try(f"options.{name}", as_yes, value) for name, value in table.items()}
        return {name: said for name, said in read.items() if said is not None}

    def _plugs(self, raw: object) -> tuple[tuple[str, ...], tuple[str, ...]]:
        table, keys = self._table("plugs", raw), ("fitted", "to_plug")
        for key in table:
            if key not in keys:
                self.say(f"plugs.{key}", f"no such key in [plugs]{_near(key, keys)} Accepted: {', '.join(keys)}.")
        fitted, to_plug = (self._try(f"plugs.{k}", as_names, table.get(k, []), *_HOLE_NAMES) or () for k in keys)
        return fitted, to_plug

    def _letters(self, said: str) -> Letters | None:
        if not said:
            return None
        try:
            return letters(said)
        except BadLetters as bad:
            self.say("exchanger.type", str(bad))
            return None

    def _gaskets_and_studs(
        self, called: list[JointCalled], type_: str, gaskets: tuple[Gasket, ...], studs: tuple[Studs, ...]
    ) -> tuple[dict[str, Gasket], dict[str, Studs]]:
        """Which gasket and which set of studs each joint has."""
        ids = [j.id for j in called]
        there = f"{type_} has " + ", ".join(f"{j.id} ({j.between})" for j in called)
        for s in studs:
            if not s.joints:
                self.say(f"studs.{s.id}", 'joints: missing (joints this set clamps); for example joints = ["J1"].')
        return (
            self._owners([(f"gasket.{g.id}", g.joint, "joint", g) for g in gaskets], ids, there, "gasket"),
            self._owners([(f"studs.{s.id}", j, "joints", s) for s in studs for j in dict.fromkeys(s.joints)], ids, there, "set of studs"),
        )

    def _flanges(self, flanges: tuple[Flange, ...], ids: list[str]) -> None:
        """A flange is on a joint there is, and each part of a joint has one."""
        seen: dict[tuple[str, str], str] = {}
        for f in flanges:
            if f.joint and f.joint not in ids:
                self.say(f"flange.{f.id}.joint", f"no joint {short(f.joint, 20)}; there are {', '.join(ids)}.")
            elif f.joint and f.part and (other := seen.setdefault((f.joint, f.part), f.id)) != f.id:
                self.say(f"flange.{f.id}.part", f"{f.joint} already has the {f.part} as flange.{other}; each part of a joint once.")

    def _owners(self, given: list[tuple[str, str, str, T]], ids: list[str], there: str, what: str) -> dict[str, T]:
        """Which part belongs to which joint; a joint has one of each."""
        owner: dict[str, tuple[str, T]] = {}
        for at, joint, key, part in given:
            if joint not in ids and joint:
                self.say(f"{at}.{key}", f"no joint {short(joint, 20)}. {there}.")
            elif joint in owner:
                self.say(f"{at}.{key}", f"{joint} already has {owner[joint][0]}; a joint has one {what}.")
            elif joint:
                owner[joint] = (at, part)
        return {joint: part for joint, (_, part) in owner.items()}


def _joint(j: JointCalled, gasket: Gasket | None, studs: Studs | None, flanges: tuple[Flange, ...]) -> Joint:
    own = tuple(f for f in flanges if f.joint == j.id)
    return Joint(id=j.id, kind=j.kind, between=j.between, sides=j.sides, ribs_end=j.ribs_end, gasket=gasket, studs=studs, flanges=own)


@cache
def _keys(cls: Hashable, fixed: frozenset[str]) -> dict[str, Field[Any]]:
    """The keys of a section. `id_` is written `id`: the plain name is taken by the section's own name."""
    return {f.name.removesuffix("_"): f for f in fields(cast(Any, cls)) if f.name not in fixed}


def _near(word: str, known: Mapping[str, object] | tuple[str, ...]) -> str:
    near = get_close_matches(word.lower(), list(known), 1)
    return f"; did you mean {near[0]}?" if near else "."


def _missing(key: str, f: Field[Any]) -> str:
    accepted = f.metadata.get("accepted", ())
    return f"{key}: missing ({f.metadata['label']}){'; accepted: ' + ', '.join(accepted) if accepted else ''}."


def _heading(section: str) -> str:
    return f"[{section}.{FIRST_NAMES[section]}]" if section in NAMED else f"[{section}]"


_OF_THREE: dict[str, tuple[str, str, Callable[..., Any]]] = {
    "rows": ("row", _ROW_SAMPLE, Reader._row),
    "measured_bore": ("reading", _BORE_SAMPLE, Reader._bore),
}
