"""Nothing was entered, and why: a form that cannot be read, an act that would be a STOP, a page that is not there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from boxup.job.entering import Outlook
from boxup.job.may import Answer
from boxup.paper.html.element import Markup, el, joined
from boxup.record.kinds import kinds
from boxup.web import log_in
from boxup.web.ask import Ask, View, inside
from boxup.web.bits import finding, stop, waits, what
from boxup.web.form import by_and_at, field, hidden, labelled, name_of, text_box
from boxup.web.log_in import LOG
from boxup.web.studs import STUD_WORDS
from boxup.web.wall_in import FIELDS as WALL_FIELDS
from boxup.web.wall_in import READ

SETTLED = ("kind", "id", "back", "corrects", "entered_by", "photo_kept")
Sent = Mapping[str, Sequence[str]]


def not_there(ask: Ask, text: str, status: int) -> View:
    """A page, a job or an item that is not there."""
    links = el("p", el("a", ask.w("frame.today"), href="/"), " · ", el("a", ask.w("frame.fleet"), href="/fleet"))
    return View(ask.w("refused.not_there"), joined(el("p", text), links), status)


def bad_file(ask: Ask, problems: Sequence[str]) -> View:
    """An exchanger file with errors: every one of them."""
    listed = el("ul", [el("li", p) for p in problems], cls="problems")
    back = el("p", el("a", ask.w("frame.fleet"), href="/fleet"))
    return View(ask.w("refused.bad_file"), joined(el("p", ask.w("refused.nothing")), listed, back), 422)


def bad_form(ask: Ask, sent: Sent, problems: Sequence[str]) -> View:
    """Everything that is wrong with a form, and the form again with what was typed in it."""
    listed = el("div", el("ul", [el("li", ask.w.told(p)) for p in problems], cls="problems"), role="alert")
    body = joined(el("p", el("b", ask.w("refused.nothing"))), listed, _form_again(ask, sent), _back(ask, sent))
    return View(ask.w("refused.bad_form"), body, 422)


def _form_again(ask: Ask, sent: Sent) -> Markup:
    kind = kinds().get(_first(sent, "kind"))
    if kind is None:
        return Markup("")
    if log := _first(sent, LOG):
        return _log_again(ask, sent, log)
    shown = [f for f in kind.fields.values() if f.type != "long text" and f.name != "photo"]
    several = [name for f in shown if len(sent.get(name := name_of(f.typed_name), ())) > 1 and not f.type.endswith("*")]
    long = [f.typed_name for f in kind.fields.values() if f.type == "long text"]
    kept = [hidden(name, value) for name in (*SETTLED, *several, *long) for value in sent.get(name, ()) if value]
    fields = [field(ask, kind, f, _typed(sent, name)) for f in shown if (name := name_of(f.typed_name)) not in several]
    fields += [labelled(ask.w(f"refused.{name}"), text_box(name, _first(sent, name))) for name in STUD_WORDS if _first(sent, name)]
    given = {name: _first(sent, name) for name in ("by", "at")}
    send = el("button", ask.w("refused.send_again"), type="submit")
    inner = (kept, fields, by_and_at(ask, given), send)
    return el("form", *inner, action=ask.link("enter"), method="post", enctype="multipart/form-data", cls="entry")


def _log_again(ask: Ask, sent: Sent, log: str) -> Markup:
    """A log with mistakes, to be put right where it stands: nothing that was sent is lost."""
    kept = [hidden(name, value) for name in (*SETTLED, "test") for value in sent.get(name, ()) if value]
    given = {name: _first(sent, name) for name in ("by", "at")}
    kind = kinds()[_first(sent, "kind")]
    fields = [field(ask, kind, kind.fields[name], _first(sent, name)) for name in WALL_FIELDS if kind.name == READ]
    inner = (
        kept,
        fields,
        log_in.boxes(ask, log, spreadsheet=kind.name == READ),
        by_and_at(ask, given),
        el("button", ask.w("refused.send_again"), type="submit"),
    )
    return el("form", *inner, action=ask.link("enter"), method="post", enctype="multipart/form-data", cls="entry log")


def _first(sent: Sent, name: str) -> str:
    return next(iter(sent.get(name, ())), "")


def _typed(sent: Sent, name: str) -> str:
    """The number with the unit that stood beside it; several of one reading side by side."""
    value = " ".join(v for v in sent.get(name, ()) if v)
    return f"{value} {_first(sent, f'{name}.unit')}".strip() if value else ""


def ask_first(ask: Ask, sent: Sent, photo: str, ahead: Outlook) -> View:
    """What speaks against an act, before it is on record. It may have happened all the same: then it is recorded, and said."""
    w = ask.w
    against = [stop(*(w.told(text) for text in ahead.stops))] if ahead.stops else []
    others = [finding(ask, f) for f in ahead.findings if f.level != "stop"]
    left = [el("p", w.told(text), cls="look") for text in ahead.open_]
    steps = [_too_soon(ask, code, answer) for code, answer in ahead.too_soon]
    body = joined(el("p", el("b", w("refused.nothing"))), against, steps, others, left, _back(ask, sent), _all_the_same(ask, sent, photo))
    return View(w("refused.look_first"), body, 409)


def _too_soon(ask: Ask, code: str, answer: Answer) -> Markup:
    one = ask.live.state.scope.instances.get(code)
    said = el("p", what(ask, one)) if one else Markup("")
    return joined(el("h2", ask.w("refused.not_yet", step=code)), said, waits(ask, answer))


def _all_the_same(ask: Ask, sent: Sent, photo: str) -> Markup:
    kept = [hidden(name, value) for name, values in sent.items() if name not in ("happened", "photo_kept") for value in values if value]
    kept += [hidden("happened", "yes"), *([hidden("photo_kept", photo)] if photo else [])]
    record = el("button", ask.w("refused.happened"), type="submit", cls="second")
    return el("form", kept, el("p", ask.w("refused.happened_text")), record, action=ask.link("enter"), method="post", cls="entry")


def _back(ask: Ask, sent: Sent) -> Markup:
    return el("p", el("a", ask.w("refused.back"), href=inside(_first(sent, "back"), ask.link()), cls="button"))
