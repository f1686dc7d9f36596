"""A form becomes entries: looked at first, refused with everything that is wrong, or asked back where it would be a STOP; then on record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from boxup.job.entering import Outlook, outlook
from boxup.job.moment import BadMoment, moment_meant
from boxup.job.names import unknown
from boxup.record.event import BadEvent, Draft, Event
from boxup.record.kinds import Kind, kind_of
from boxup.record.typed import payload_of
from boxup.store.base import MovedOn
from boxup.web.form import PHOTO, typed_words
from boxup.web.live import Jobs, Live
from boxup.web.studs import studs_meant

TRIES = 5  # another writer came between so often that we give up
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
    for _ in range(TRIES):
        live = jobs[job]
        ready = drafts_of(live, form)
        if kept := _kept(live, ready):
            return Entered(kept)
        ahead = outlook(live.state, live.events, ready)
        if not ahead.clear and form.said.get("happened") != "yes":
            return Entered(asked=ahead)
        try:
            return Entered(jobs.append(ready, live.head))
        except MovedOn:
            continue
    raise BadForm(["others are writing to this job all the time; nothing was entered. Send it again"])


def _kept(live: Live, ready: Sequence[Draft]) -> tuple[Event, ...]:
    """The entries these drafts became when the form was sent before."""
    ids = {d.id for d in ready}
    there = {e.id: e for e in live.events if e.id in ids}
    if not there:
        return ()
    if any(d.id not in there or not _same(d, there[d.id]) for d in ready):
        first = next(iter(there.values()))
        raise BadForm(
            [f"this form is on record already, as entry {first.number}, with other words. Open the page anew and enter what is to be added"]
        )
    return tuple(there.values())


def _same(d: Draft, e: Event) -> bool:
    return (d.kind, d.by, dict(d.payload)) == (e.kind, e.by, dict(e.payload))


def drafts_of(live: Live, form: Form) -> tuple[Draft, ...]:
    """The entries a form means, not yet written. BadForm with everything wrong with it."""
    problems: list[str] = []
    kind = _kind(form.said.get("kind", ""))
    by = " ".join(form.said.get("by", "").split())
    if not by:
        problems.append("Whose hands it was is missing: give a name.")
    at = _at(form.said.get("at", ""), live, problems)
    words = [_with_moments(kind, one, live, problems) for one in _each(kind, form, live, problems)]
    payloads = [p for one in words if (p := _payload(kind, one, live, problems)) is not None]
    id_ = form.said.get("id", "").strip()
    if not 8 <= len(id_) <= 60:
        problems.append("This form has no number of its own; open the page anew and enter it there.")
    if problems or at is None:
        raise BadForm(list(dict.fromkeys(problems)))
    entered_by = " ".join(form.said.get("entered_by", "").split()) or by
    corrects = form.said.get("corrects", "").strip()
    return tuple(
        Draft(
            id=id_ if len(payloads) == 1 else f"{id_}-{n}", job=live.job, kind=kind.name, version=kind.version, happened_at=at, by=by,
            entered_by=entered_by, payload=payload, corrects=corrects,
        )
        for n, payload in enumerate(payloads)
    )  # fmt: skip


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
        if f.type.endswith("*") and len(form.many.get(f.typed_name, ())) > 1:
            words |= typed_words(kind, {**form.said, f.typed_name: " ".join(v.strip() for v in form.many[f.typed_name] if v.strip())})
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
