"""The invented job told a line at a time: from `14-E-103.story` to drafts for the record. The head of that file says how it is written."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta, timezone
from importlib.resources import files
from itertools import takewhile
from uuid import NAMESPACE_OID, uuid5

from boxup.demo.fleet import FOCUS
from boxup.record.event import BadEvent, Draft, written
from boxup.record.kinds import Kind, check, kind_of
from boxup.record.typed import payload_of

ZONE = timezone(timedelta(hours=2))  # of the invented plant
OPENED = "job.opened"
_DAY = re.compile(r"day (\d+) (\d{4}-\d{2}-\d{2})")
_HOUR = re.compile(r"\d{2}:\d{2}")
_GROUP = re.compile(r"\{([^{}]*)\}")
_LABEL = re.compile(r"@[\w-]+")


def story_text() -> str:
    """The story of the focus exchanger's job, as it is written."""
    return (files("boxup.demo") / "data" / f"{FOCUS}.story").read_text(encoding="utf-8")


def drafts(text: str, exchanger_text: str, job: str, *, until_day: int | None = None, until: datetime | None = None) -> tuple[Draft, ...]:
    """Every event of the story, in its order; `exchanger_text` is put into `job.opened`. `until_day`: no later day than that one.
    `until`: as far as it was told at that moment: a correction typed later is not yet known then.

    An id follows from the job, the day, the place in the day and the line, so that a story told twice is recognised. BadEvent with
    everything wrong with the whole story, each with its line.
    """
    telling = _Telling(exchanger_text, job)
    for line in _lines(text, telling.problems):
        telling.tell(line)
    if telling.problems:
        raise BadEvent(telling.problems)
    told = tuple(draft for day, draft in telling.told if until_day is None or day <= until_day)
    return told if until is None else tuple(takewhile(lambda draft: bool(draft.corrects) or draft.happened_at <= until, told))


@dataclass(frozen=True, slots=True)
class _Line:
    number: int
    day: int
    date: date
    text: str


@dataclass(frozen=True, slots=True)
class _Columns:
    """One line taken apart; what it says is still words."""

    hour: str
    at: datetime
    by: str
    kind: str
    fields: str
    label: str


def _lines(text: str, problems: list[str]) -> Iterator[_Line]:
    """Lines with an event, each under its day; an indented line goes on with the one above."""
    day, on = 0, date.min
    waiting: _Line | None = None
    for number, raw in enumerate(text.splitlines(), 1):
        if raw[:1].isspace() and raw.strip() and waiting:
            waiting = _Line(waiting.number, waiting.day, waiting.date, f"{waiting.text} {raw.strip()}")
            continue
        if waiting:
            yield waiting
            waiting = None
        if not raw.strip() or raw.startswith("#"):
            continue
        if raw.startswith("day "):
            day, on = _day(raw, day, on, problems, number)
        elif raw[:1].isspace():
            problems.append(f"line {number}: is indented, but there is no event above for it to go on with.")
        elif not day:
            problems.append(f"line {number}: stands before the first day; a day begins like this: day 1 2027-04-07")
        else:
            waiting = _Line(number, day, on, raw.strip())
    if waiting:
        yield waiting


def _day(raw: str, day: int, on: date, problems: list[str], number: int) -> tuple[int, date]:
    """The day a heading names; the one before where it cannot be."""
    try:
        found = _DAY.fullmatch(raw.strip())
        if found is None:
            raise ValueError
        new, date_ = int(found[1]), date.fromisoformat(found[2])
    except ValueError:
        problems.append(f"line {number}: {raw.strip()!r} is no day; accepted: day 6 2027-04-12")
        return day or 1, on
    if day and (new <= day or date_ - on != timedelta(days=new - day)):
        problems.append(f"line {number}: day {new}, {date_}, does not follow from day {day}, {on}.")
    return new, date_


@dataclass(slots=True)
class _Telling:
    """The story while it is read: what was told, the labels so far, what is wrong."""

    exchanger_text: str
    job: str
    told: list[tuple[int, Draft]] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    _labels: dict[str, str] = field(default_factory=dict)
    _places: dict[int, int] = field(default_factory=dict)  # events so far, by day
    _last: datetime | None = None

    def tell(self, line: _Line) -> None:
        """One line; what is wrong with it is kept, and the next is read."""
        try:
            columns = _columns(line)
            lines = _each(columns)
        except BadEvent as bad:
            self._wrong(line, bad)
            return
        for fields in lines:
            id_ = self._id(line.day, columns, fields)
            if columns.label:
                self._name(line, columns.label, id_)
            try:
                self.told.append((line.day, self._draft(columns, fields, id_)))
            except BadEvent as bad:
                self._wrong(line, bad)

    def _draft(self, columns: _Columns, fields: str, id_: str) -> Draft:
        words = _words(fields)
        corrects = self._meant(words.pop("corrects", ""), "corrects")
        entered_by = words.pop("entered", columns.by)
        if "finding" in words:
            words["finding"] = self._meant(words["finding"], "finding")
        kind = kind_of(columns.kind)
        if kind.name == OPENED:
            words.setdefault("file", self.exchanger_text)
        self._in_order(columns, corrects)
        draft = Draft(
            id=id_, job=self.job, kind=kind.name, version=kind.version, happened_at=columns.at, by=columns.by,
            entered_by=entered_by, payload=payload_of(kind, _with_moments(kind, words, columns)), corrects=corrects,
        )  # fmt: skip
        check(draft)
        return draft

    def _id(self, day: int, columns: _Columns, fields: str) -> str:
        place = self._places[day] = self._places.get(day, 0) + 1
        said = " | ".join((columns.hour, columns.by, columns.kind, fields))
        return str(uuid5(NAMESPACE_OID, f"{self.job} day {day} {place} {said}"))

    def _name(self, line: _Line, label: str, id_: str) -> None:
        if label in self._labels:
            self._wrong(line, BadEvent([f"{label} is named twice; each label once."]))
        self._labels[label] = id_

    def _meant(self, said: str, key: str) -> str:
        """The id that a label stands for; "" for nothing said."""
        if said and said not in self._labels:
            raise BadEvent([f"{key}: {said!r} is no label of a line above; accepted: {', '.join(self._labels) or 'none so far'}."])
        return self._labels[said] if said else ""

    def _in_order(self, columns: _Columns, corrects: str) -> None:
        """A story runs forward; only a correction speaks of an earlier time."""
        if corrects:
            return
        if self._last and columns.at < self._last:
            raise BadEvent([f"{columns.hour} comes after {self._last:%H:%M}; only a correction goes back."])
        self._last = columns.at

    def _wrong(self, line: _Line, bad: BadEvent) -> None:
        told = (f"line {line.number}: {problem}" for problem in bad.problems)
        self.problems.extend(problem for problem in told if problem not in self.problems)


def _columns(line: _Line) -> _Columns:
    """Time, who, what, fields and label."""
    parts = [part.strip() for part in line.text.split(" | ")]
    if not 4 <= len(parts) <= 5 or not all(parts[:3]):
        raise BadEvent([f"has {len(parts)} columns; accepted: time | who | what | fields, and a label such as @f1 as a fifth."])
    hour, by, kind, fields = parts[:4]
    label = parts[4] if len(parts) == 5 else ""
    if label and not _LABEL.fullmatch(label):
        raise BadEvent([f"{label!r} is no label; accepted: @ and letters, such as @f1."])
    return _Columns(hour, datetime.combine(line.date, _clock(hour), ZONE), by, kind, fields, label)


def _clock(text: str) -> time:
    """Hours and minutes."""
    try:
        if not _HOUR.fullmatch(text):
            raise ValueError
        return time.fromisoformat(text)
    except ValueError:
        raise BadEvent([f"{text!r} is no time; accepted: hours and minutes, such as 06:20."]) from None


def _each(columns: _Columns) -> list[str]:
    """The fields once for each name between braces; once where there are none."""
    groups = _GROUP.findall(columns.fields)
    if not groups:
        return [columns.fields]
    if len(groups) > 1 or columns.label:
        raise BadEvent(["has braces twice, or braces and a label; accepted: one {a,b} in a line without a label."])
    names = [name.strip() for name in groups[0].split(",")]
    if not all(names) or len(set(names)) < len(names):
        raise BadEvent([f"{{{groups[0]}}}: a name is missing or stands twice."])
    return [columns.fields.replace(f"{{{groups[0]}}}", name) for name in names]


def _words(fields: str) -> dict[str, str]:
    """`key=value` with the quoting of a shell."""
    try:
        parts = shlex.split(fields)
    except ValueError as bad:
        raise BadEvent([f"{fields!r} cannot be read: {str(bad).lower()}."]) from None
    words: dict[str, str] = {}
    problems = []
    for part in parts:
        key, sign, value = part.partition("=")
        if not sign or not key:
            problems.append(f"{part!r} is no field; accepted: key=value, with quotes round what has spaces.")
        elif key in words:
            problems.append(f"{key} stands twice.")
        words[key] = value
    if problems:
        raise BadEvent(problems)
    return words


def _with_moments(kind: Kind, words: dict[str, str], columns: _Columns) -> dict[str, str]:
    """A time of day in a field for a moment is one of the same day, and not after the event itself."""
    for key, value in words.items():
        if key in kind.fields and kind.fields[key].type == "moment" and _HOUR.fullmatch(value):
            moment = datetime.combine(columns.at.date(), _clock(value), ZONE)
            if moment > columns.at:
                raise BadEvent([f"{key}: {value} is after the event itself, {columns.hour}; over midnight write the whole moment."])
            words = words | {key: written(moment)}
    return words
