"""What the rooms above the file have to say on it when it is checked: the order of work, and the grades of studs."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.exchanger.layout import layout_of
from boxup.exchanger.model import Exchanger
from boxup.exchanger.problem import Problem, line_of
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


def tube_map(exchanger: Exchanger) -> list[Problem]:
    """A file without rows of holes: that the map is a sketch, or of another tubesheet."""
    layout, key = layout_of(exchanger), "tubes.count" if exchanger.tubes.count else "tubes"
    if isinstance(layout, Missing) or layout.origin != "generated":
        return []
    return [Problem(line_of(exchanger.lines, key), key, f.text, "warning") for f in layout.findings if f.level == "warn"]


ASKED = (options_of, stud_grades, site_limits, tube_map)
