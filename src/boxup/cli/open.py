"""Opening an exchanger file at the command line: every error with its line, or the exchanger."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.exchanger.model import Exchanger
    from boxup.job.scope import Scope


def opened(path: str) -> Exchanger:
    """The exchanger of a file, its options checked too; else a refusal with every error."""
    from boxup.exchanger.check import check
    from boxup.job.options import ASKED

    report = check(Path(path), also=ASKED)
    if report.exchanger is None:
        raise Refusal([f"{report.name} cannot be used:", *(str(p) for p in report.errors)])
    return report.exchanger


def scope_named(name: str, with_options: str) -> Scope:
    """The scope of a file, or of bare TEMA letters with options."""
    from boxup.job.flags import FlagError
    from boxup.job.lists import scope_of
    from boxup.job.scope import scope_of_letters

    if Path(name).exists() or "." in name or "/" in name:
        if with_options:
            raise Refusal(["--with goes with bare letters; the options of a file stand in its [options]"])
        return scope_of(opened(name))
    try:
        return scope_of_letters(name, with_options)
    except FlagError as bad:
        raise Refusal([*bad.problems, "A file's path is accepted too."]) from bad
