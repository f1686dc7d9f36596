"""Blinds: where each stands, how many are in and out, and the two names that each way takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from boxup.core.rounding import both
from boxup.drawing.section import section
from boxup.drawing.stand import stand_view
from boxup.isolation.blinds import BlindList, BlindRow
from boxup.job.live import may_now
from boxup.job.may import Answer, Missing
from boxup.job.state import BlindState, JobState, Tick
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import table
from boxup.paper.sheet import PHONE, WIDE, Drawing
from boxup.paper.value import lacking
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, finding, step_link, stop, waits
from boxup.web.form import entry_form

IN, OUT = ("BLIND_IN", "TBLIND_S", "TBLIND_T"), ("BLIND_OUT", "TBLIND_OUT")
ZERO_AND_GAS = ("ZERO", "ZERO_OUT", "GAS_BREAK")
GIVEN_BACK = ("HANDOVER", "PCLOSE", "STARTUP")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the blind list as it stands. `row`: None for a blind that is on no list. The codes are empty where there is no step."""

    state: BlindState
    row: BlindRow | None
    in_code: str
    out_code: str
    put: Tick
    taken: Tick

    @property
    def gone_in(self) -> bool:
        return self.state.word != "not in"

    @property
    def closed(self) -> bool:
        """Signed out by two, or left in by operations."""
        return self.taken.stand == "done" or (self.state.word == "out" and not self.out_code)

    @property
    def way(self) -> str:
        """`in` or `out`, which it goes next; nothing where it is out or left in."""
        return {"in": "out", "not in": "in"}.get(self.state.word, "")

    @property
    def next_code(self) -> str:
        """The step of that way."""
        return {"out": self.out_code, "in": self.in_code}.get(self.way, "")

    @property
    def waits_for(self) -> str:
        """The step that has one name only."""
        if self.taken.stand == "one name":
            return self.out_code
        return self.in_code if self.put.stand == "one name" and self.state.word == "in" else ""


def page(ask: Ask) -> View:
    """Process blinds apart from test blinds: a thin blind for water is never left as isolation."""
    n, w = ask.live.material.numbers, ask.w
    process = _lines(ask, n.process_blinds, "process")
    groups = ["process", *(f"test_{one.side}" for one in sorted(n.test_blinds, key=lambda b: b.side))]
    jumps = el("ul", [el("li", el("a", w(f"blinds.{name}"), href=f"#{name}")) for name in groups], cls="jumps abreast")
    parts = [entered(ask), jumps, _drawing(ask), _group(ask, "process", w("blinds.process_text"), process, _handing_back(ask, process))]
    for one in sorted(n.test_blinds, key=lambda b: b.side):
        mine = _lines(ask, one, "test")
        parts.append(_group(ask, f"test_{one.side}", w("blinds.test_text"), mine, Markup("")))
    lists = (n.process_blinds, *n.test_blinds)
    parts += [finding(ask, f) for b in lists for f in b.findings if f.level != "note"]
    parts.append(ask.sheet.missing(lacking([m for b in lists for m in b.missing])))
    return View(w("blinds.title"), joined(parts))


def _lines(ask: Ask, listed: BlindList, use: str) -> list[Line]:
    """The lines of a list in its order, then blinds of that use which the record knows and no list has."""
    state = ask.live.state
    rows = {r.id: r for r in listed.rows}
    all_rows = {r.id for b in (ask.live.material.numbers.process_blinds, *ask.live.material.numbers.test_blinds) for r in b.rows}
    strange = [b.id for b in state.blinds.values() if b.use == use and b.id not in all_rows] if use == "process" else []
    return [_line(state, id_, rows.get(id_), use) for id_ in (*rows, *strange)]


def _line(state: JobState, id_: str, row: BlindRow | None, use: str) -> Line:
    put, taken = (next((c for step in steps if (c := f"{step}:{id_}") in state.scope.instances), "") for steps in (IN, OUT))
    return Line(state.blinds.get(id_) or BlindState(id_, use), row, put, taken, state.step(put), state.step(taken))


def _drawing(ask: Ask) -> Markup:
    """Where they stand: each blind leads to its line."""
    x = ask.live.exchanger
    view = replace(stand_view(ask.live.state, WIDE), links={b.id: f"#{b.id}" for b in x.blinds}, joints={}, balloons=False)
    return figure(Drawing(section(x, view), lambda: section(x, replace(view, width=PHONE, narrow=True))))


def counts(lines: Iterable[Line]) -> tuple[int, int, int]:
    """How many went in, how many lines are closed as out, how many are left in by operations."""
    listed = list(lines)
    left = sum(b.state.word == "left in" for b in listed)
    return sum(b.gone_in for b in listed), sum(b.closed for b in listed) - left, left


def _handing_back(ask: Ask, lines: list[Line]) -> Markup:
    """STOP from the first blind that is out, or from the first sign of handing back, until every line is closed."""
    w, state = ask.w, ask.live.state
    open_ = [b for b in lines if b.gone_in and not b.closed]
    began = any(b.state.word in ("out", "left in") for b in lines)
    began = began or any(state.step(code).stand in ("done", "begun", "one name") for code in GIVEN_BACK)
    if not open_ or not began:
        return Markup("")
    one_name = [b.state.id for b in open_ if b.taken.stand == "one name"]
    still_in = [b.state.id for b in open_ if b.state.id not in one_name]
    said = [w("blinds.still_in", blinds=", ".join(still_in), count=len(still_in))] if still_in else []
    said += [w("blinds.one_name", blinds=", ".join(one_name))] if one_name else []
    return stop(el("b", w("blinds.not_back")), *said)


def _group(ask: Ask, name: str, text: str, lines: list[Line], said: Markup) -> Markup:
    head = el("h2", ask.w(f"blinds.{name}"), id=name)
    if not lines:
        return el("section", head, el("p", ask.w("blinds.none")))
    w = ask.w
    gone_in, out, left = counts(lines)
    count = w("blinds.counts", gone_in=gone_in, out=out) + (w("blinds.left", left=left) if left else "")
    heads = [w(f"blinds.{k}") for k in ("blind", "where", "size", "thickness", "stands", "in_by", "out_by")]
    rows = table(heads, [_row(ask, b) for b in lines])
    number = el("p", el("b", count), el("span", w("blinds.of", all=len(lines)), cls="other"), cls="counts")
    first = [_one(ask, b) for b in lines if b.waits_for]
    return el("section", head, el("p", text), number, said, first, rows, [_one(ask, b) for b in lines if not b.waits_for])


def _row(ask: Ask, b: Line) -> tuple[Markup | str, ...]:
    w, r = ask.w, b.row
    size = f"{r.size}, {r.flange_class}".strip(", ") if r else ""
    name = el("a", b.state.id, href=f"#{b.state.id}")
    word = el("b", w(f"blinds.{b.state.word.replace(' ', '_')}"))
    waiting = joined(word, ". ", w("blinds.second_waits")) if b.waits_for else word
    return name, _place(r), size, _thickness(r), waiting, _names(ask, b.put), _owner(ask, b) or _names(ask, b.taken)


def _place(r: BlindRow | None) -> str:
    return f"{r.place}{f', {r.line}' if r.line else ''}" if r else ""


def _thickness(r: BlindRow | None) -> str:
    """Kind, thickness and rating, each in both systems."""
    if r is None:
        return ""
    thick = both("small length", r.thickness.si) if r.thickness else ""
    rated = both("pressure", r.rated.si, "down") if r.rated else ""
    return ", ".join(part for part in (r.kind, thick, rated) if part)


def _names(ask: Ask, tick: Tick) -> str:
    if not tick.at or tick.stand == "not done":
        return ""
    return f"{' + '.join(name for name in (tick.by, tick.second) if name)}, {ask.w.at(tick.at)}"


def _owner(ask: Ask, b: Line) -> str:
    return ask.w("blinds.owned", owner=b.state.owner, until=b.state.until) if b.state.word == "left in" else ""


def _one(ask: Ask, b: Line) -> Markup:
    """One blind: what it is to be asked now, and its forms. Folded where nothing may be done at it now; not over a STOP."""
    w, id_ = ask.w, b.state.id
    word = w(f"blinds.{b.state.word.replace(' ', '_')}")
    head = el("h3", el("b", id_), f" · {_place(b.row)}" if b.row else "", f" · {word}")
    code = b.next_code
    answer = may_now(ask.live.state, code, ask.at) if code and not b.waits_for else None
    acts = bool(b.waits_for) or (answer is not None and (answer.may or bool(answer.against)))
    return el("details", el("summary", head), *_asked(ask, b, answer), _more(ask, b), cls="blind", id=id_, open="open" if acts else "")


def _asked(ask: Ask, b: Line, answer: Answer | None) -> Iterator[Markup]:
    """Second name, in, or out: whatever comes next for it."""
    w, id_ = ask.w, b.state.id
    if b.waits_for:
        yield el("p", el("b", w("blinds.second_waits")), " ", step_link(ask, b.waits_for), cls="look")
        yield entry_form(ask, "step.seconded", button=w("blinds.second_button", blind=id_), settled={"step": b.waits_for})
    elif b.way:
        if answer:
            yield _may(ask, b.next_code, answer, w(f"blinds.{b.way}_not_yet"))
        quiet = "quiet" if answer and not answer.may else ""  # what may not be done yet has no loud button
        yield _form(ask, f"blind.{b.way}", id_, w(f"blinds.{b.way}_button", blind=id_), quiet)


def _form(ask: Ask, kind: str, id_: str, button: str, cls: str = "") -> Markup:
    return entry_form(ask, kind, button=button, settled={"blind": id_}, fields=("second",), cls=cls)


def _may(ask: Ask, code: str, answer: Answer, title: str) -> Markup:
    """Zero and gas first, for they are read anew each time; the other reasons folded under how many they are."""
    if answer.may:
        return el("p", ask.w("step.may"))
    first = replace(answer, missing=tuple(m for m in answer.missing if m.need.step.partition(":")[0] in ZERO_AND_GAS))
    rest = replace(answer, against=(), missing=tuple(m for m in answer.missing if m not in first.missing))
    against = waits(ask, replace(first, missing=()))
    rows = [el("li", step_link(ask, m.need.step), *_why(ask, m)) for m in first.missing]
    return joined(el("p", el("b", title), " ", step_link(ask, code)), against, el("ul", rows, cls="chain"), _folded(ask, rest))


def _why(ask: Ask, m: Missing) -> Iterator[Markup]:
    w = ask.w
    yield el("span", f"{w('bits.because')} {w.told(m.need.rule.because)}")
    if m.stands:
        yield el("small", w.told(m.stands))


def _folded(ask: Ask, rest: Answer) -> Markup:
    if not rest.missing:
        return Markup("")
    return el("details", el("summary", ask.w("blinds.waits_too", count=len(rest.missing))), waits(ask, rest))


def _more(ask: Ask, b: Line) -> Markup:
    """What happens seldom: left in, changed, in or out again."""
    w, id_ = ask.w, b.state.id
    form = partial(entry_form, ask, settled={"blind": id_})
    forms = [form("blind.changed", button=w("blinds.changed_button", blind=id_), fields=("why",))]
    if b.state.word == "in" and b.state.use == "process":
        forms.insert(0, form("blind.left_in", button=w("blinds.left_button", blind=id_), fields=("owner", "until")))
    if b.state.word in ("out", "left in"):
        forms.append(_form(ask, "blind.in", id_, w("blinds.again_button", blind=id_)))
    if b.state.word == "left in":
        forms.append(_form(ask, "blind.out", id_, w("blinds.out_button", blind=id_)))
    return el("details", el("summary", w("blinds.more")), forms)
