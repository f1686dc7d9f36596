"""The working behind a number: formula, numbers, result, clause, and how good the evidence is."""

from __future__ import annotations

from boxup.paper.html import told
from boxup.paper.html.element import joined
from boxup.paper.workings import shown, working_sheet
from boxup.web.ask import Ask, View
from boxup.web.live import NotThere


def page(ask: Ask) -> View:
    """One working, open."""
    code = ask.path["code"]
    sheet = working_sheet(ask.live.material, whole=True)
    here = [w for w in sheet["workings"] if w["code"] == code]
    if not here and (found := ask.live.material.numbers.working(code)):
        here = [shown(ask.live.material, code, *found)]
    if not here:
        raise NotThere(f"there is no working {code!r}; there are {', '.join(w['code'] for w in sheet['workings'])}")
    body = joined(told.workings({**sheet, "workings": here}, ask.sheet))
    return View(f"{code}: {here[0]['title']}", body)
