"""Studs looked at before they go in: what is never used again, stamps on their ends, one set of one kind, and whose metal is proved."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from boxup.core.finding import Finding
from boxup.core.quantity import BadValue, Quantity
from boxup.joint.grade import grade, grades
from boxup.reference.load import Row, read_table

DIFFER = 3.0  # mm: studs of one set are as long as each other, but for about a thread
PRACTICE, MEMORY = "common practice", "from memory"
COLD = -29.0  # degC: below it ordinary studs are not taken for granted (from memory)
SOUR = re.compile(r"\bH2S\b|\bsour\b|\bsulphide\b|\bsulfide\b|\bamine\b|\bhydrogen\b", re.I)
SAME, OTHER, NOT_DONE = "agrees", "does not agree", "not done"
PMI_WORDS = (SAME, OTHER, NOT_DONE)


@cache
def reuse_rules() -> Mapping[str, Row]:
    """What is seen on a stud, and what is said of it."""
    return read_table(files("boxup.joint") / "data" / "stud_reuse.csv", "stud_reuse")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What somebody saw on the studs of one joint. `stamps`: each stamp once; `lengths`: mm; `pmi`: as in `PMI_WORDS`, or not said."""

    looked_at: int
    stamps: tuple[str, ...]
    was: str = "new"  # new, reused, mixed
    lengths: tuple[float, ...] = ()
    rejected: tuple[int, ...] = ()
    pmi: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the list has, and what the studs stand in: words of fluid and hazards, and the lowest metal temperature."""

    count: int | None = None
    grade: str = ""
    length: Quantity | None = None
    service: str = ""
    coldest: Quantity | None = None


def stamped(text: str) -> tuple[str, ...]:
    """The grades of the table a stamp may stand for: B8 is stamped on two classes. Empty: no such grade."""
    try:
        return (grade(text),)
    except BadValue:
        bare = re.sub(r"\s", "", text.strip().upper())
        return tuple(one for one in grades() if one.rpartition("-")[0] == bare)


def judge(seen: Seen, wanted: Wanted) -> tuple[Finding, ...]:
    """Stops for a set that is not used as it is; warnings for what is asked first."""
    return (*_stamps(seen, wanted), *_set(seen, wanted), *_metal(seen, wanted))


def against(findings: Sequence[Finding]) -> tuple[str, ...]:
    """What keeps the joint open."""
    return tuple(one.text for one in findings if one.level == "stop")


def _stamps(seen: Seen, wanted: Wanted) -> Iterator[Finding]:
    known = {stamp: stamped(stamp) for stamp in seen.stamps}
    for stamp in (stamp for stamp, named in known.items() if not named):
        text = f"stamp {stamp!r} on the studs is in no table: its strength is not known. Take those studs out, or ask the inspector"
        yield Finding("stop", text, PRACTICE)
    if len({named for named in known.values() if named}) > 1:
        text = (
            f"studs of more than one grade in one set ({', '.join(seen.stamps)}): one stretches and the other carries. Sort them, one grade"
        )
        yield Finding("stop", text, PRACTICE)
    listed = stamped(wanted.grade) if wanted.grade else ()
    for stamp, named in known.items():
        if listed and named and not set(named) & set(listed):
            text = f"studs stamped {stamp}, the list says {wanted.grade}, which the torque was worked for. Change them"
            yield Finding("stop", text, PRACTICE)


def _set(seen: Seen, wanted: Wanted) -> Iterator[Finding]:
    lengths = (*seen.lengths, *([wanted.length.to("mm")] if wanted.length else []))
    if seen.lengths and max(seen.lengths) - min(seen.lengths) > DIFFER:
        text = (
            f"studs from {min(seen.lengths):g} to {max(seen.lengths):g} mm long in one set: not one set, or some are stretched. Sort them"
        )
        yield Finding("stop", text, MEMORY)
    elif seen.lengths and wanted.length and max(abs(one - wanted.length.to("mm")) for one in lengths) > DIFFER:
        text = f"studs {seen.lengths[0]:g} mm long, the list says {wanted.length.to('mm'):g} mm: look that every nut has its full thread"
        yield Finding("warn", text, MEMORY)
    if seen.was == "mixed":
        text = "new studs and used ones in one set: they do not turn alike. One or the other, or ask the engineer"
        yield Finding("warn", text, PRACTICE)
    if seen.rejected:
        one = len(seen.rejected) == 1
        named = ", ".join(map(str, seen.rejected))
        text = f"stud{'' if one else 's'} {named} rejected: change {'it' if one else 'them'} for the same grade, and look again"
        yield Finding("stop", text, PRACTICE)
    if wanted.count and seen.looked_at < wanted.count:
        yield Finding("warn", f"{seen.looked_at} of {wanted.count} studs were looked at", PRACTICE)


def _metal(seen: Seen, wanted: Wanted) -> Iterator[Finding]:
    """A stamp says what a stud should be; only a test of the metal says what it is."""
    if seen.pmi == OTHER:
        yield Finding("stop", "the metal of the studs is not what their stamp says: take them out, and tell the inspector", PRACTICE)
    elif seen.pmi != SAME and (why := asked_for(wanted)):
        text = f"the metal of the studs was not tested, and {why}: ask the engineer or the inspector whether it must be (PMI)"
        yield Finding("warn", text, PRACTICE)


def asked_for(wanted: Wanted) -> str:
    """Why the metal of these studs may have to be tested, in words; "" where nothing says so."""
    named = stamped(wanted.grade) if wanted.grade else ()
    sour = bool(SOUR.search(wanted.service))
    cold = wanted.coldest is not None and wanted.coldest.to("degC") < COLD
    where = (
        "H2S or hydrogen may be there"
        if sour
        else f"it may be as cold as {wanted.coldest.to('degC'):g} °C"
        if cold and wanted.coldest
        else ""
    )
    if not named or not where:
        return ""
    return f"{wanted.grade} studs: {where}"
