"""Bad input at the command line: the sentences, and exit 2."""

from __future__ import annotations

import click


class Refusal(click.ClickException):
    """Everything wrong with what was typed, a sentence each."""

    exit_code = 2

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n  ".join(problems))
        self.lines = tuple(problems)
