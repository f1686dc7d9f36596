"""Names of people as they are typed: one man is one, whatever capitals, dots and blanks he signs with."""

from __future__ import annotations

from collections.abc import Iterable


def plain(name: str) -> str:
    """A name as it is compared: `M. Trevanick`, `m trevanick` and `M.Trevanick ` are one. "" for nobody."""
    return "".join(sign for sign in name.casefold() if sign != "." and not sign.isspace())


def same(one: str, other: str) -> bool:
    """Whether two names are of one person, as far as letters tell."""
    return plain(one) == plain(other)


def among(name: str, names: Iterable[str]) -> bool:
    """Whether that person is one of these."""
    return plain(name) in {plain(one) for one in names}
