"""The three TEMA letters and what they mean in plain words."""

from __future__ import annotations

from dataclasses import dataclass

FRONTS: dict[str, str] = {
    "A": "channel with a flat removable cover",
    "B": "bonnet",
    "C": "channel in one piece with the tubesheet, flat cover",
    "N": "channel and tubesheet welded to the shell, flat cover",
    "D": "special high-pressure closure",
}
SHELLS: dict[str, str] = {
    "E": "one-pass shell",
    "F": "two-pass shell with a longitudinal baffle",
    "G": "split flow",
    "H": "double split flow",
    "J": "divided flow",
    "K": "kettle",
    "X": "cross flow",
}
REARS: dict[str, str] = {
    "L": "fixed tubesheet, rear channel with a flat cover",
    "M": "fixed tubesheet, rear bonnet",
    "N": "fixed tubesheet, rear channel welded to it, flat cover",
    "P": "outside-packed floating head",
    "S": "floating head with split backing ring",
    "T": "pull-through floating head",
    "U": "U-tube bundle",
    "W": "externally sealed floating tubesheet with lantern ring",
}


@dataclass(frozen=True, slots=True)
class Letters:
    """Front, shell and rear letter."""

    front: str
    shell: str
    rear: str

    def __str__(self) -> str:
        return self.front + self.shell + self.rear

    @property
    def words(self) -> str:
        """`AES: channel with a flat removable cover, one-pass shell, floating head with split backing ring`."""
        return f"{self}: {FRONTS[self.front]}, {SHELLS[self.shell]}, {REARS[self.rear]}"

    @property
    def short(self) -> str:
        """The rear head's plain word, with the letters: what the top line of a page says."""
        return f"{self}: {REARS[self.rear]}"

    @property
    def fixed(self) -> bool:
        """Tubesheets welded to the shell: no bundle to pull."""
        return self.front == "N" or self.rear in "LMN"


class BadLetters(ValueError):
    """Letters that no exchanger has, one sentence."""


def letters(text: str) -> Letters:
    """Read `AES`. Raises BadLetters saying which letter is not accepted and what is."""
    got = text.strip().upper()
    if len(got) != 3:
        raise BadLetters(f"type {text!r}: three TEMA letters are needed (front, shell, rear), for example AES")
    for letter, accepted, place in zip(got, (FRONTS, SHELLS, REARS), ("front head", "shell", "rear head"), strict=True):
        if letter not in accepted:
            raise BadLetters(f"type {text!r}: {letter} is not a {place}; accepted: " + "; ".join(f"{k} {v}" for k, v in accepted.items()))
    if got[0] == "N" and got[2] in "PSTUW":
        raise BadLetters(f"type {text!r}: an N front has its tubesheet welded to the shell, so the rear must be L, M or N")
    return Letters(*got)
