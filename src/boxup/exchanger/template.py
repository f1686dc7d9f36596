"""`boxup new`: a commented exchanger file for given letters, to be filled in with a pencil's patience and any text editor."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from boxup.exchanger import joints
from boxup.exchanger.joints import JointCalled, joints_of
from boxup.exchanger.letters import Letters, letters
from boxup.exchanger.sections import NAMED, sections_of

_COLUMN = 34  # where the remarks begin


_HOW_TO = (
    '# Take the # away in front of a line and write your own value. A value is a number with its unit, in quotes: "813 mm",',
    '# "24.1 bar", "250 psi". How well it is known may follow: "811.5 mm, measured" (drawing, measured, assumed, memory).',
    "# The examples are not yours. Leave the # where you do not know. Geometry is then assumed where it may be, and said so;",
    "# gasket sizes, studs, lubricant, target stress, MAWP, MDMT and the capacity of gear are never assumed. `boxup check FILE`",
    "# says what is missing and how to get it.",
)


class Key(NamedTuple):
    """One line of keys.csv: a key with an example as it is typed and a remark; a line without key is the section's own remark."""

    section: str
    key: str
    front: str
    shell: str
    rear: str
    example: str
    comment: str

    def of(self, t: Letters) -> bool:
        """Whether these letters have the key; a blank means any letter."""
        pairs = ((self.front, t.front), (self.shell, t.shell), (self.rear, t.rear))
        return all(not accepted or letter in accepted for accepted, letter in pairs)


@cache
def keys() -> tuple[Key, ...]:
    """Every key of the file, in the order it is written."""
    text = (files("boxup.exchanger") / "data" / "keys.csv").read_text("utf-8")
    return tuple(Key(*row) for row in list(csv.reader(text.splitlines()))[1:])


def new_file(tag: str, type_: str, options: Mapping[str, bool] | None = None) -> str:
    """A TOML text for those letters: every section the type has, each key empty with an example beside it.

    Raises BadLetters for letters that no exchanger has.
    """
    t = letters(type_)
    return "\n".join(_lines(tag, t, options or {})) + "\n"


def _lines(tag: str, t: Letters, options: Mapping[str, bool]) -> Iterator[str]:
    yield f"# {t.words}."
    yield "#"
    yield from _HOW_TO
    called = joints_of(t, options)
    for section in sections_of(t, options):
        yield ""
        yield from _section(section, t, tag, called, options)


def _section(section: str, t: Letters, tag: str, called: list[JointCalled], options: Mapping[str, bool]) -> Iterator[str]:
    yield from (f"# {k.comment}" for k in keys() if k.section == section and not k.key and k.comment)
    if section == "gasket":
        yield from _gaskets(t, called)
    elif section == "studs":
        yield from _studs(t, called)
    elif section == "flange":
        yield from _flanges(t, called)
    elif section in NAMED:
        yield from _named(section, t)
    else:
        given = {"tag": f'"{_typed(tag)}"', "type": f'"{t}"', "grade": '"drawing"'} if section == "exchanger" else _given(options, section)
        yield f"[{section}]"
        yield from _keys(section, t, given)


def _given(options: Mapping[str, bool], section: str) -> dict[str, str]:
    return {name: str(said).lower() for name, said in options.items()} if section == "options" else {}


def _keys(section: str, t: Letters, given: Mapping[str, str], skip: tuple[str, ...] = ()) -> Iterator[str]:
    """The keys of a section: those in `given` filled in, the rest empty behind a #, with an example in the remark."""
    known = [k for k in keys() if k.section == section and k.key and k.of(t) and k.key not in skip]
    for k in known:
        filled = k.key in given
        line = f"{k.key} = {given[k.key]}" if filled else f"# {k.key} = {_empty(k.example)}"
        remark = k.comment if filled else "; ".join(filter(None, (k.comment, f"for example {k.example}")))
        yield f"{line:<{_COLUMN}} # {remark}" if remark else line
    yield from (f"{name} = {value}" for name, value in given.items() if name not in {k.key for k in known})


def _empty(example: str) -> str:
    """The place for a value. Without its # and still empty it is no number: nobody's example gets into a job by mistake."""
    if example.startswith("["):
        return "[]"
    if not example.startswith('"'):
        return ""
    unit = re.fullmatch(r'"-?[\d.]+( \S+)"', example)
    return f'"{unit.group(1) if unit else ""}"'


def _gaskets(t: Letters, called: list[JointCalled]) -> Iterator[str]:
    for j in called:
        if j.kind in (joints.STUFFING_BOX, joints.SHELL_PACKING, joints.CHANNEL_PACKING, joints.CLOSURE):
            yield ""
            yield f"# {j.id}: {j.between}: no flat gasket; packing and order by the maker's drawing."
            continue
        ribs = ", its gasket carries the pass ribs of that end" if j.ribs_end else ""
        yield ""
        yield f"# {j.id}: {j.between}; {j.sides[0]} side{ribs}."
        yield f"[gasket.G{j.id[1:]}]"
        yield from _keys("gasket", t, {"joint": f'"{j.id}"'}, () if j.ribs_end else ("rib_width",))


def _studs(t: Letters, called: list[JointCalled]) -> Iterator[str]:
    by_group: dict[str, list[JointCalled]] = {}
    for j in called:
        if j.kind != joints.STUFFING_BOX:
            by_group.setdefault(joints.group_of(j.kind), []).append(j)
    for group, together in by_group.items():
        yield ""
        words = f"the {group}: one set for both" if len(together) > 1 else together[0].between
        yield f"# {', '.join(j.id for j in together)}: {words}."
        yield f"[studs.S{together[0].id[1:]}]"
        listed = ", ".join(f'"{j.id}"' for j in together)
        yield from _keys("studs", t, {"joints": f"[{listed}]"})


# The parts each kind of joint clamps between its nuts, as a file names them.
CLAMPED: dict[str, tuple[str, ...]] = {
    joints.CHANNEL_COVER: ("channel cover", "channel"), joints.CHANNEL_TUBESHEET: ("channel",), joints.TUBESHEET_SHELL: ("shell",),
    joints.SHELL_COVER: ("shell cover", "shell"), joints.REAR_HEAD: ("rear head",), joints.REAR_COVER: ("rear cover", "rear head"),
}  # fmt: skip


def clamped(kind: str, rear: str) -> tuple[str, ...]:
    """The flanges of a joint of that kind: of a floating head, S has a backing ring, T is bolted to its tubesheet."""
    if kind == joints.FLOATING_HEAD:
        return ("floating head", "backing ring") if rear == "S" else ("floating head",)
    return CLAMPED.get(kind, ())


def _flanges(t: Letters, called: list[JointCalled]) -> Iterator[str]:
    count = 0
    for j in called:
        for part in clamped(j.kind, t.rear):
            count += 1
            yield ""
            yield f"[flange.F{count}]"
            yield from _keys("flange", t, {"joint": f'"{j.id}"', "part": f'"{part}"'})


_NOZZLES = (("N1", "shell", "inlet"), ("N2", "shell", "outlet"), ("N3", "tube", "inlet"), ("N4", "tube", "outlet"))
_OPENINGS = (("V1", "tube", "vent"), ("V2", "shell", "vent"), ("D1", "shell", "drain"), ("D2", "tube", "drain"))

_GEAR = (
    ("SL1", "bundle, front pick"), ("SL2", "bundle, rear pick"), ("SL3", "bundle, tubesheet end"), ("PL1", "pull and insert"),
    ("SL4", "covers"),
)  # fmt: skip


def _named(section: str, t: Letters) -> Iterator[str]:
    for name, given in _entries(section, t):
        yield ""
        yield f"[{section}.{name}]"
        yield from _keys(section, t, {key: f'"{value}"' for key, value in given.items()})


def _entries(section: str, t: Letters) -> list[tuple[str, dict[str, str]]]:
    """What a new file begins with: add, take out and rename as the exchanger is."""
    match section:
        case "nozzle":
            return [(id_, {"side": side, "duty": duty}) for id_, side, duty in _NOZZLES]
        case "small_bore":
            return [(id_, {"side": side, "kind": kind}) for id_, side, kind in _OPENINGS]
        case "blind":
            uses = (("B", "process"), ("TB", "test"))
            return [(f"{b}{n}", {"use": use, "nozzle": id_}) for b, use in uses for n, (id_, _, _) in enumerate(_NOZZLES, start=1)]
        case "tool":
            kinds = {"W1": "hand torque wrench", "P1": "pump", "GA": "test gauge", "GB": "test gauge"}
            return [(id_, {"kind": kind}) for id_, kind in kinds.items()]
        case _:
            return [(id_, {"use": use}) for id_, use in _GEAR if not t.fixed or use == "covers"]


def _typed(text: str) -> str:
    """As it may stand between quotes."""
    return "".join(c for c in text if c.isprintable()).replace("\\", "\\\\").replace('"', '\\"')
