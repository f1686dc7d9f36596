"""Where a job stands, on a page that can be printed and signed: joints, tests with every attempt, what is proved, and the counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from boxup.core.rounding import both
from boxup.job.proof import proofs
from boxup.job.state import Attempt, TestState
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import facts, table
from boxup.web.ask import Ask

ROLES = ("lead", "inspector")
IN = ("in", "left in")


def summary(ask: Ask) -> Markup:
    """The part of the page that is printed as a sheet of its own."""
    w, state = ask.w, ask.live.state
    last = f"{state.last_at:%Y-%m-%d %H:%M}" if state.last_at else "–"
    text = w("record.text", entries=state.entries, last=last, hash=state.head[:16])
    halves = el("div", el("div", _joints(ask)), el("div", _proved(ask)), cls="halves")
    parts = [el("p", text), _counts(ask), _tests(ask), halves, el("p", w("record.print"), cls="screen"), _sign(ask)]
    return el("section", el("h2", w("record.summary")), parts, cls="summary")


def _counts(ask: Ask) -> Markup:
    w, state = ask.w, ask.live.state
    rows: list[tuple[Inside, Inside]] = [
        (w("record.steps"), w("record.steps_of", done=len(state.done), all=len(state.scope.instances))),
        *_blinds(ask), *_tubes(ask), (w("record.right"), _right(ask)),
    ]  # fmt: skip
    if inside := [f"{n} {what} ({space})" for space, some in state.spaces.items() for what, n in some.items()]:
        rows.append((w("record.pieces"), "; ".join(inside)))
    return joined(el("h3", w("record.counts")), facts(rows))


def _blinds(ask: Ask) -> Iterator[tuple[str, str]]:
    w = ask.w
    for use in ("process", "test"):
        mine = [b for b in ask.live.state.blinds.values() if b.use == use]
        now = [b for b in mine if b.word in IN]
        said = w("record.blinds_of", list=len(mine), now_in=len(now), out=sum(b.word == "out" for b in mine))
        left = sum(b.word == "left in" for b in mine)
        yield w(f"record.blinds_{use}"), f"{said}; {w('record.left_in', count=left)}" if left else said


def _tubes(ask: Ask) -> Iterator[tuple[str, str]]:
    w, x = ask.w, ask.live.exchanger
    listed = [id_ for id_ in x.to_plug if id_ not in x.plugged]
    yield w("record.plugged"), w("record.plugged_of", count=len(x.plugged), tubes=", ".join(x.plugged)) if x.plugged else "0"
    if listed:
        yield w("record.listed"), w("record.plugged_of", count=len(listed), tubes=", ".join(listed))


def _right(ask: Ask) -> str:
    found = ask.live.state.to_put_right.values()
    letters = Counter(one.letter for one in found if not one.closed)
    closed = sum(bool(one.closed) for one in found)
    if not letters:
        return ask.w("record.nothing_open", closed=closed)
    said = ", ".join(f"{letter} {n}" for letter, n in sorted(letters.items()))
    named = "; ".join(f"{one.letter}: {one.text}" for one in sorted(found, key=lambda one: one.letter) if not one.closed)
    return f"{ask.w('record.right_of', open=letters.total(), letters=said, closed=closed)}. {named}"


def _tests(ask: Ask) -> Markup:
    w = ask.w
    heads = [w(f"record.{k}") for k in ("test", "attempt", "verdict", "highest", "when", "words")]
    rows = [row for test in ask.live.state.tests.values() for row in _attempts(ask, test)]
    return joined(el("h3", w("record.tests")), table(heads, rows))


def _attempts(ask: Ask, test: TestState) -> Iterator[list[Inside]]:
    name = el("a", el("b", test.code), href=ask.link("test", test.code))
    if not test.attempts:
        yield [name, "", ask.w("record.no_attempt"), "", "", ""]
    for n, one in enumerate(test.attempts):
        at = ask.w.at(one.ended or one.began)
        by = " + ".join(filter(None, (one.by, one.second)))
        high = both("pressure", one.highest_mpa * 1e6) if one.highest_mpa else ""
        yield ["" if n else name, str(one.number), el("b", ask.w.told(one.verdict)), high, f"{at} {by}".strip(), _words(ask, one)]


def _words(ask: Ask, one: Attempt) -> str:
    return "; ".join(filter(None, (one.words, *(ask.w.told(text) for text in one.lacks), ask.w.told(one.fell))))


def _joints(ask: Ask) -> Markup:
    w = ask.w
    rows = [
        (
            el("b", ", ".join(j.joints) or j.id), el("b", w.told(j.word)), ", ".join(j.gaskets[of] for of in j.joints if of in j.gaskets),
            w.told("; ".join(j.not_pulled_up)) if j.rounds else "",
        )
        for j in ask.live.state.joints.values()
    ]  # fmt: skip
    heads = [w(f"record.{k}") for k in ("joint", "stands", "item", "still")]
    return joined(el("h3", w("record.joints")), table(heads, rows))


def _proved(ask: Ask) -> Markup:
    w = ask.w
    heads = [w(f"record.{k}") for k in ("what", "item", "by_test", "not_yet")]
    rows = [
        (el("b", f"{w.told(p.what)} {p.id}".strip()), p.item, "; ".join(w.told(by) for by in p.by), w.told(p.open))
        for p in proofs(ask.live.state)
    ]
    return joined(el("h3", w("record.proved")), table(heads, rows))


def _sign(ask: Ask) -> Markup:
    """Boxes for pen and glove, on paper only."""
    roles = ask.live.material.roles(*ROLES)
    boxes = [el("div", el("b", ask.w.told(role)), el("span", ask.w("record.sign_line"))) for role in roles]
    return el("div", el("h3", ask.w("record.sign")), el("div", boxes, cls="boxes"), cls="on-paper")
