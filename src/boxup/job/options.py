"""What the rooms above the file have to say on it when it is checked: the order of work, and the grades of studs."""

from __future__ import annotations

from boxup.exchanger.model import Exchanger
from boxup.exchanger.problem import Problem
from boxup.job.flags import FlagError
from boxup.job.lists import scope_of
from boxup.job.scope import ScopeError
from boxup.joint.grade import site_limits, stud_grades


def options_of(exchanger: Exchanger) -> list[Problem]:
    """An option these letters cannot have, lists that do not fit each other."""
    try:
        findings = scope_of(exchanger).findings
    except FlagError as bad:
        return [Problem(exchanger.lines.get("options", 0), "options", text) for text in bad.problems]
    except ScopeError as bad:
        return [Problem(0, "lists", text) for text in bad.problems]
    return [Problem(0, "lists", f.text, "warning") for f in findings]


ASKED = (options_of, stud_grades, site_limits)
