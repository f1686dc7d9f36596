"""HTML built so that text cannot become markup: whatever is not an element made here is escaped."""

from __future__ import annotations

from collections.abc import Iterable

from boxup.drawing.svg import safe
from boxup.paper.sheet import Drawing

VOID = ("br", "meta", "hr", "input", "img")


class Markup(str):
    """Text that is HTML already."""

    __slots__ = ()


Inside = str | Iterable[str]


def el(tag: str, /, *inside: Inside, **attributes: str) -> Markup:
    """An element. Plain strings inside are escaped; an attribute that is empty is left out.

    `cls` is class, `for_` is for, `data_h` is data-h.
    """
    said = "".join(f' {_name(key)}="{safe(value)}"' for key, value in attributes.items() if value)
    if tag in VOID:
        return Markup(f"<{tag}{said}>")
    return Markup(f"<{tag}{said}>{joined(*inside)}</{tag}>")


def joined(*inside: Inside) -> Markup:
    """Pieces one after the other, each escaped unless it is markup."""
    return Markup("".join(_one(piece) for piece in inside))


def _one(piece: Inside) -> str:
    if isinstance(piece, Markup):
        return piece
    if isinstance(piece, str):
        return safe(piece)
    return joined(*piece)


def _name(key: str) -> str:
    return "class" if key == "cls" else key.rstrip("_").replace("_", "-")


def svg(drawing: Drawing) -> Markup:
    """A drawing of ours, as it stands: its own words were escaped where it was drawn."""
    return Markup(str(drawing).replace(' xmlns="http://www.w3.org/2000/svg"', "", 1))


def narrow_svg(drawing: Drawing) -> Markup:
    """The same drawing for the width of a phone."""
    return svg(Drawing(drawing.narrow()))
