"""How shell fluid and tube passes meet in this exchanger, read from its letters, its nozzles and its tube map; or what is lacking."""

from __future__ import annotations

from boxup.bundle.arrangement import Arrangement
from boxup.core.finding import Missing
from boxup.exchanger.layout import Layout
from boxup.exchanger.model import Exchanger, Nozzle

_WHAT = "way the shell fluid meets the tube passes"


def way_of(x: Exchanger, layout: Layout) -> Arrangement | Missing:
    """The arrangement; Missing where nozzles do not tell it or that shell is not worked here."""
    shell = x.letters.shell
    if x.service.shell_holds == "yes":
        return Arrangement("E")  # one temperature all over: which way round does not matter
    if shell in ("K", "X"):
        kind = "a kettle" if shell == "K" else "a cross-flow shell"
        return Missing("duty after plugging", f"{kind} whose fluid changes its temperature is not worked here: ask the process engineer.")
    inlets = [n for n in x.nozzles if n.side == "shell" and "inlet" in n.duty]
    if not inlets or any(n.position is None or n.clock is None for n in inlets):
        return Missing(_WHAT, "give position and clock of every shell inlet nozzle, with the word inlet in its duty.")
    if shell == "J":
        return Arrangement("J21" if len(inlets) > 1 else "J12")
    return _end_to_end(x, inlets[0]) if shell == "E" else _long_baffle(shell, layout, inlets)


def _end_to_end(x: Exchanger, inlet: Nozzle) -> Arrangement | Missing:
    length = x.shell.length or x.tubes.length
    if length is None:
        return Missing(_WHAT, "give the length of the shell or of the tubes.")
    return Arrangement("E", first_along=_in_front(inlet, length.si) == _tubes_from_front(x, length.si))


def _in_front(n: Nozzle, length: float) -> bool:
    return n.position is None or n.position.si < length / 2


def _tubes_from_front(x: Exchanger, length: float) -> bool:
    """Pass 1 starts at the front, unless the tube inlet is known to be at the rear."""
    return all(_in_front(n, length) for n in x.nozzles if n.side == "tube" and "inlet" in n.duty)


def _long_baffle(shell: str, layout: Layout, inlets: list[Nozzle]) -> Arrangement | Missing:
    """F, G, H: which passes lie on the inlet's side of the long baffle."""
    halves: dict[int, set[str]] = {}
    for t in layout.tubes:
        halves.setdefault(t.tube_pass, set()).add("upper" if t.y > 0 else "lower")
    if any(len(h) > 1 for h in halves.values()):
        return Missing(_WHAT, "by the tube map a pass lies on both sides of the long baffle; give the rows of holes of the drawing.")
    found = tuple(next(iter(halves[p])) for p in sorted(halves))
    from_above = any(n.clock and (n.clock.si > 9 or n.clock.si < 3) for n in inlets)
    # as the zones have it: F lets the fluid in under the long baffle, G and H over it
    return Arrangement(shell, halves=found if from_above == (shell != "F") else tuple(_other(h) for h in found))


def _other(half: str) -> str:
    return "lower" if half == "upper" else "upper"
