"""`boxup check`: what is wrong in a file, what looks wrong, what was assumed, and what nobody has given yet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from boxup.core.finding import Missing
from boxup.exchanger.assumed import assume
from boxup.exchanger.file import read_anyway, text_of
from boxup.exchanger.missing import missing
from boxup.exchanger.model import Exchanger
from boxup.exchanger.problem import Problem, sorted_problems

# A room above may have its own say on a file that reads (the job room: are the options possible for these letters?).
AlsoAsk = Callable[[Exchanger], Iterable[Problem]]


@dataclass(frozen=True, slots=True)
class Report:
    """Errors stop the file, warnings do not. `exchanger` is None exactly when there are errors."""

    name: str
    errors: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    assumptions: tuple[str, ...] = ()
    missing: tuple[Missing, ...] = ()
    exchanger: Exchanger | None = None

    @property
    def ok(self) -> bool:
        return not self.errors

    @property
    def text(self) -> str:
        return "\n".join(_render(self))


def check(path: Path | str, also: Iterable[AlsoAsk] = ()) -> Report:
    """The report on a file. Never raises for what is in it, nor for a file that is not there."""
    name = Path(path).name
    text, problems = text_of(Path(path))
    return Report(name, tuple(problems), ()) if text is None else check_text(text, name, also)


def check_text(text: str, name: str = "", also: Iterable[AlsoAsk] = ()) -> Report:
    """As `check`, from a text."""
    x, problems = read_anyway(text, name)
    if x is not None:
        sound = not any(p.level == "error" for p in problems)
        x = assume(x) if sound else x
        # What has no line of its own may only follow from an error that is told already.
        problems = sorted_problems([*problems, *(p for ask in also for p in ask(x) if sound or p.line)])
    errors = tuple(p for p in problems if p.level == "error")
    warnings = tuple(p for p in problems if p.level == "warning")
    if x is None or errors:
        return Report(name, errors, warnings)
    return Report(name, errors, warnings, x.assumptions, tuple(missing(x)), x)


def _render(r: Report) -> Iterator[str]:
    count = len(r.errors)
    said = f"{count} error{'s' * (count > 1)}" if count else "reads without errors"
    yield f"{r.name}: {said}"
    yield from (str(p) for p in r.errors)
    yield from _part("Look again", [str(p) for p in r.warnings])
    yield from _part("Assumed, as nobody gave it", r.assumptions)
    yield from _part("Not given and never assumed", [m.text for m in r.missing])


def _part(heading: str, lines: Iterable[str]) -> Iterator[str]:
    lines = list(lines)
    if lines:
        yield ""
        yield f"{heading}:"
        yield from (f"  {line}" for line in lines)
