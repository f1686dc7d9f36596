"""A working as plain text for the terminal: symbols, numbers, result, clause, and why that branch."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.working import (
    Assumed,
    Computed,
    Entered,
    Kernel,
    Solved,
    Step,
    TableRow,
    Taken,
    Working,
    because,
    in_numbers,
    in_symbols,
    plain,
)  # fmt: skip


def counted(n: int, what: str) -> str:
    """`1 stop`, `2 stops`, `0 stops`."""
    return f"{n} {what}{'' if n == 1 else 's'}"


def working_text(w: Working, depth: int = 0) -> Iterator[str]:
    """The lines of a working, its parts first, each under its heading."""
    pad = "  " * depth
    for part in w.parts:
        yield f"{pad}{part.name}:"
        yield from working_text(part, depth + 1)
    for label, chosen in w.words.items():
        yield f"{pad}{label}: {chosen}"
    for s in w.steps.values():
        yield from (pad + line for line in step_text(s))


def step_text(s: Step) -> Iterator[str]:
    """One step: a given on one line, a formula on three."""
    if not isinstance(s.origin, Computed):
        yield f"{s.symbol:>8} = {plain(s)}   {s.label}  [{origin_text(s)}]"
        return
    yield f"{s.symbol:>8} = {in_symbols(s)}   {s.label}  [{s.cite}]"
    yield f"{'':>8} = {in_numbers(s)}"
    why = because(s)
    yield f"{'':>8} = {plain(s)}" + (f"   because {why}" if why else "") + (f"   {s.note}" if s.note else "")


def origin_text(s: Step) -> str:
    """Where a value that is not a formula came from, in words."""
    match s.origin:
        case Entered(typed=typed, grade=grade, where=where):
            return f"{grade}{f' as {typed}' if typed else ''}{f', {where}' if where else ''}"
        case TableRow(table=table, row=row, column=column):
            place = f"{table}, {row}, {column}; " if table else ""
            return f"{place}{s.cite or ''}"
        case Assumed(reason=reason):
            return f"assumed: {reason}"
        case Solved(equation=equation, residual=left):
            return f"solved: {equation} = 0, {left:.1e} left; {s.cite}"
        case Kernel(method=method):
            return f"{method}; {s.cite}"
        case Taken(part=part, symbol=symbol):
            return f"from {part or 'above'}, {symbol}"
    raise AssertionError(s.origin)
