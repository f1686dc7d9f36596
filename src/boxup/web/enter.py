"""A form becomes entries: looked at first, refused with everything wrong, or asked back where it would be a STOP; then on record."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from boxup.job.entering import Outlook, outlook
from boxup.job.moment import BadMoment, moment_meant
from boxup.job.names import unknown
from boxup.job.set_torque import of_entry
from boxup.record.effective import WITHDRAWN
from boxup.record.event import BadEvent, Draft, Event
from boxup.record.kinds import Kind, check, kind_of
from boxup.record.typed import payload_of
from boxup.store.base import MovedOn, SaidDifferently
from boxup.web.form import PHOTO, name_of, typed_words
from boxup.web.live import Jobs, Live
from boxup.web.log_in import FILE, LOG, is_log, readings_of
from boxup.web.studs import studs_meant
from boxup.web.wall_in import is_report, with_rows

TRIES = 12  # another program came between so often that we give up
_NUMBER = re.compile(r"(-\d+)?")  # of an item, behind the number of the form
SEVERAL = {"step": "step.done", "tool": "tool.checked"}  # what may be ticked several at a time, and in which entry


class BadForm(ValueError):
    """A form that cannot become an entry. `problems`: every sentence."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True)
class Form:
    """What was sent. `many`: values of a name that came several times; `photo`: the name under which it is kept, empty for none."""

    said: Mapping[str, str]
    many: Mapping[str, Sequence[str]] = field(default_factory=dict)
    photo: str = ""


@dataclass(frozen=True, slots=True)
class Entered:
    """What came of it: entries on record, or `asked`: what speaks against them, nothing having been written."""

    events: tuple[Event, ...] = ()
    asked: Outlook | None = None


def enter(jobs: Jobs, job: str, form: Form) -> Entered:
    """Put a form on record, if nothing speaks against it or the form says that it happened all the same. BadForm; StoreError."""
    with jobs.writing(job):
        for _ in range(TRIES):
            try:
                return _look_and_enter(jobs, job, form)
            except MovedOn:
                continue
            except SaidDifferently as bad:
                raise BadForm([_on_record(bad.kept)]) from bad
    raise BadForm(["others are writing to this job all the time; nothing was entered. Send it again"])


def _look_and_enter(jobs: Jobs, job: str, form: Form) -> Entered:
    live = jobs[job]
    ready = drafts_of(live, form)
    if kept := _kept(live, ready, form):
        return Entered(kept)
    ahead = _with_the_card(live, ready, outlook(live.state, live.events, ready))
    if not ahead.clear and form.said.get("happened") != "yes":
        return Entered(asked=ahead)
    entered = jobs.append(ready, live.head)
    jobs.keep(live, entered, ahead.state)
    return Entered(entered)


def _with_the_card(live: Live, ready: Sequence[Draft], ahead: Outlook) -> Outlook:
    """And what the card of a joint has to say on a torque."""
    found = [off for d in ready if (off := of_entry(live.material.numbers, d.kind, d.payload))]
    return replace(ahead, findings=(*ahead.findings, *found)) if found else ahead


def _kept(live: Live, ready: Sequence[Draft], form: Form) -> tuple[Event, ...]:
    """The entries these drafts became when the form was sent before, with as many items or with others."""
    sent = form.said["id"].strip()
    there = {e.id: e for e in live.events if e.id.startswith(sent) and _NUMBER.fullmatch(e.id, len(sent))}
    if not there:
        return ()
    timed = bool(form.said.get("at", "").strip() or form.said.get(LOG, "").strip())
    if there.keys() != {d.id for d in ready} or not all(_same(d, there[d.id], timed) for d in ready):
        raise BadForm([_on_record(next(iter(there.values())))])
    return tuple(there.values())


def _same(d: Draft, e: Event, timed: bool) -> bool:
    """The same words; and the same time, where one was typed: a form without one means now, and now is later the second time."""
    said, kept = (d.kind, d.by, d.corrects, dict(d.payload)), (e.kind, e.by, e.corrects, dict(e.payload))
    return said == kept and (not timed or d.happened_at == e.happened_at)


def _on_record(e: Event) -> str:
    return (
        f"this form is on record already, as entry {e.number} of job {e.job}, with other words. "
        "Open the page anew and enter what is to be added; what is wrong with that entry is corrected by a further one"
    )


def drafts_of(live: Live, form: Form) -> tuple[Draft, ...]:
    """The entries a form means, not yet written. BadForm with everything wrong with it."""
    problems: list[str] = []
    kind = _kind(form.said.get("kind", ""))
    by = " ".join(form.said.get("by", "").split())
    if not by:
        problems.append("Whose hands it was is missing: give a name.")
    corrects = form.said.get("corrects", "").strip()
    aimed = next((e for e in live.events if corrects and e.id == corrects), None)
    problems.extend(_aim(kind, corrects, aimed))
    at = _when(kind, form.said.get("at", ""), aimed, live, problems)
    if is_report(kind, form.said):
        if form.said.get(FILE, ""):
            problems.append("A log was pasted and a file was sent too: leave one of them out.")
        form = with_rows(form, live, problems)
        if problems:  # what the report lacks for it is no fault of a field
            raise BadForm(list(dict.fromkeys(problems)))
    said = _read_off(kind, form, live, at, problems) if is_log(kind, form.said) else _said_at(kind, form, live, at, problems)
    id_ = form.said.get("id", "").strip()
    if not 8 <= len(id_) <= 60:
        problems.append("This form has no number of its own; open the page anew and enter it there.")
    if problems or not said:
        raise BadForm(list(dict.fromkeys(problems)))
    entered_by = " ".join(form.said.get("entered_by", "").split()) or by
    ready = tuple(
        Draft(
            id=id_ if len(said) == 1 else f"{id_}-{n}", job=live.job, kind=kind.name, version=kind.version, by=by, entered_by=entered_by,
            happened_at=moment.replace(microsecond=0), payload=payload, corrects=corrects,  # the record keeps whole seconds
        )
        for n, (moment, payload) in enumerate(said)
    )  # fmt: skip
    _checked(ready)
    return ready


def _said_at(kind: Kind, form: Form, live: Live, at: datetime | None, problems: list[str]) -> list[tuple[datetime, dict[str, Any]]]:
    """What a form says, at the moment it speaks of: one entry, or one for every item."""
    words = [_with_moments(kind, one, live, problems) for one in _each(kind, form, live, problems)]
    payloads = [p for one in words if (p := _payload(kind, one, live, problems)) is not None]
    return [(at, payload) for payload in payloads] if at is not None else []


def _read_off(kind: Kind, form: Form, live: Live, at: datetime | None, problems: list[str]) -> list[tuple[datetime, dict[str, Any]]]:
    """What a log says, each reading at its own moment; a mistake with its line."""
    if form.said.get(FILE, ""):
        problems.append("A log was pasted and a file was sent too: leave one of them out.")
    found = []
    for line in readings_of(live, form.said, at, problems) if at is not None else ():
        wrong: list[str] = []
        payload = _payload(kind, line.words | {"test": form.said.get("test", "")}, live, wrong)
        problems.extend(f"Line {line.number}: {text}" for text in wrong)
        if payload is not None:
            found.append((line.at, payload))
    return found


def _checked(ready: Sequence[Draft]) -> None:
    """As the record will look at them, before anything else is made of them."""
    try:
        for d in ready:
            check(d)
    except BadEvent as bad:
        raise BadForm(bad.problems) from bad


def _when(kind: Kind, text: str, aimed: Event | None, live: Live, problems: list[str]) -> datetime | None:
    """The time typed, else now; a correction without a time speaks of the time of the entry that it corrects."""
    if aimed is not None and kind.name != WITHDRAWN and not text.strip():
        return aimed.happened_at
    return _at(text, live, problems)


def _aim(kind: Kind, corrects: str, aimed: Event | None) -> Iterator[str]:
    """A correction speaks of an entry of this job, and of the same thing, or takes it back."""
    if not corrects:
        if kind.name == WITHDRAWN:
            yield "Which entry is taken back is missing: take it back from its own line in the log."
        return
    if aimed is None:
        yield "The entry that this one corrects is not on this job."
    elif kind.name not in (WITHDRAWN, aimed.kind):
        yield (
            f"Entry {aimed.number} is {aimed.kind}, and what takes its place says the same kind of thing; this form says {kind.name}. "
            "Take that entry back, and enter this one beside it."
        )


def _kind(name: str) -> Kind:
    try:
        return kind_of(name)
    except BadEvent as bad:
        raise BadForm(list(bad.problems)) from bad


def _at(text: str, live: Live, problems: list[str]) -> datetime | None:
    try:
        return moment_meant(text, live.state)
    except BadMoment as bad:
        problems.append(f"When: {bad}.")
        return None


def _each(kind: Kind, form: Form, live: Live, problems: list[str]) -> list[dict[str, str]]:
    """The words of each entry: one, or one for every item that was ticked."""
    words = typed_words(kind, form.said)
    if form.photo and PHOTO in kind.fields:
        words[PHOTO] = form.photo
    for f in kind.fields.values():
        name = name_of(f.typed_name)
        if f.type.endswith("*") and len(form.many.get(name, ())) > 1:
            words |= typed_words(kind, {**form.said, name: " ".join(v.strip() for v in form.many[name] if v.strip())})
    if "studs" in kind.fields and (studs := studs_meant(words, form.said, live, problems)):
        words["studs"] = studs
    for name, only in SEVERAL.items():
        several = [v for v in form.many.get(name, ()) if v]
        if kind.name == only and len(several) > 1:
            return [words | {name: value} for value in dict.fromkeys(several)]
    return [words]


def _with_moments(kind: Kind, words: dict[str, str], live: Live, problems: list[str]) -> dict[str, str]:
    """Hours typed into fields for a moment, as whole moments."""
    times = {f.name for f in kind.fields.values() if f.type == "moment"}
    found = {}
    for key, text in words.items():
        if key in times and (moment := _at(text, live, problems)):
            found[key] = moment.isoformat(timespec="seconds")
        elif key not in times:
            found[key] = text
    return found


def _payload(kind: Kind, words: dict[str, str], live: Live, problems: list[str]) -> dict[str, Any] | None:
    try:
        payload = payload_of(kind, words)
    except BadEvent as bad:
        problems.extend(bad.problems)
        return None
    problems.extend(unknown(kind.name, payload, live.state.scope, live.exchanger))
    return payload
