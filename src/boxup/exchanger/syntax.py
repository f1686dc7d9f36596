"""From TOML text to its tables. A line that cannot be read is named, set aside, and the rest is read on: all mistakes at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence
from typing import Any

from boxup.exchanger.lines import Statement
from boxup.exchanger.problem import Problem, sentence

MOST_LINES_SET_ASIDE = 60

_AT = re.compile(r"\(at line (\d+), column \d+\)")
_START = r"^\s*([\w.-]+)\s*=\s*"
_END = r"\s*(?:#.*)?$"
# What people write, most telling first: pattern of the line, and what to say to it ({0} the key, {1} the value).
_SAID = tuple((re.compile(pattern), words) for pattern, words in (
    (rf"{_START}[+-]?\d+,\d+{_END}", "a decimal comma outside quotes; write a point, or put the value in quotes"),
    (rf"{_START}([^\"'\[\]{{}}#]*[A-Za-z%°][^\"'#]*?){_END}", 'a value with words or a unit stands in quotes: {0} = "{1}"'),
    (rf"{_START}(?:#.*)?$", "nothing stands after the = sign; write the value, or # in front of the line while it is not known"),
    (rf"{_START}\"[^\"]*$", "the closing quote is missing"),
    (rf"{_START}(\"[^\"]*\"|[\d.+-]+)\s*([^#\s].*)$", "{2} stands after the value; a grade goes inside the quotes, a remark after #"),
    (r"^\s*([A-Za-z][\w -]*)\s*:", 'a colon; accepted: {0} = "value"'),
    (r"^\s*\[[^\]]*$", "the square bracket of a section heading is not closed; this section was not read"),
    (rf"^\s*([^=\[#]+?){_END}", 'there is no = sign; accepted: key = "value", a [section], or # in front of a remark'),
))  # fmt: skip


def tables_of(text: str, found: Sequence[Statement]) -> tuple[dict[str, Any] | None, list[Problem]]:
    """The tables of a TOML text and what could not be read. None when too little of it is left to go on with."""
    lines, problems = text.split("\n"), list[Problem]()
    while len(problems) <= MOST_LINES_SET_ASIDE:
        try:
            return tomllib.loads("\n".join(lines)), problems
        except tomllib.TOMLDecodeError as bad:
            problem, gone = _where(str(bad), lines, found)
        except RecursionError:
            return None, [Problem(0, "", "brackets nested too deep to be an exchanger file.")]
        except ValueError:
            return None, [*problems, Problem(0, "", "a number with too many digits to be a measurement.")]
        problems.append(problem)
        if not any(lines[n].strip() for n in gone):
            break
        for n in gone:
            lines[n] = ""
    problems.append(Problem(0, "", "the rest of the file was not read; put these lines right and check again."))
    return None, problems


def _where(said: str, lines: Sequence[str], found: Sequence[Statement]) -> tuple[Problem, range]:
    """The problem and the lines (from 0) to set aside."""
    at = int(m.group(1)) if (m := _AT.search(said)) else len(lines)
    part = _statement(found, at, said)
    if part is None:
        return Problem(at, "", _explain(lines[at - 1], said)), range(at - 1, at)
    if part.header and "]" not in lines[part.first - 1]:
        return Problem(part.first, part.path, _explain(lines[part.first - 1], said)), _section(part, found, len(lines))
    if "declare" in said or "overwrite" in said or "already been" in said or "Cannot mutate" in said:
        return _twice(part, found, len(lines))
    if part.header:
        return Problem(part.first, part.path, _explain(lines[part.first - 1], said)), _section(part, found, len(lines))
    if part.last > part.first or "array" in said.lower():
        text = "a list that cannot be read: look for a missing comma, quote or closing bracket."
        return Problem(at if part.first <= at <= part.last else part.first, part.path, text), range(part.first - 1, part.last)
    return Problem(part.first, part.path, _explain(lines[part.first - 1], said)), range(part.first - 1, part.last)


def _statement(found: Sequence[Statement], at: int, said: str) -> Statement | None:
    """The statement a message is about. A list left open is noticed only at what follows it."""
    before = [s for s in found if s.first <= at]
    if not before:
        return None
    if "array" in said.lower() and len(before) > 1 and before[-1].first == at and before[-2].open:
        return before[-2]
    return before[-1] if before[-1].last >= at else None


def _twice(part: Statement, found: Sequence[Statement], end: int) -> tuple[Problem, range]:
    earlier = next((s for s in found if s.path == part.path and s.first < part.first), None)
    again = f", first on line {earlier.first}" if earlier else ""
    if part.header:
        text = f"this section stands twice{again}; give it another name or take one out."
        return Problem(part.first, part.path, text), _section(part, found, end)
    return Problem(part.first, part.path, f"this key stands twice{again}; take one out."), range(part.first - 1, part.last)


def _section(part: Statement, found: Sequence[Statement], end: int) -> range:
    """The lines of a section: a heading that is refused must not hand its keys to the section before it."""
    following = next((s.first - 1 for s in found if s.header and s.first > part.first), end)
    return range(part.first - 1, following)


def _explain(line: str, said: str) -> str:
    for pattern, words in _SAID:
        if m := pattern.match(line):
            return sentence(words.format(*(short(g or "") for g in m.groups())))
    return f"this line cannot be read ({_AT.sub('', said).strip()[:80]})."


def short(text: str, most: int = 60) -> str:
    """A value cut to what a sentence can carry."""
    return text if len(text) <= most else text[:most] + "..."


def control_characters(text: str) -> Iterator[tuple[int, str]]:
    """(line, character) for each character that no text file has."""
    for m in re.finditer(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", text):
        yield text.count("\n", 0, m.start()) + 1, repr(m.group())
