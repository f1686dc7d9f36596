from boxup.paper.html.element import el
from boxup.web.ask import Ask, View


def page(ask: Ask) -> View:
    return View("tubes", el("p", "–"))
