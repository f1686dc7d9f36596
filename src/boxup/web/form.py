"""Forms that become entries: each kind of entry has its fields, each field the means of giving it with a glove on."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from uuid import uuid4

from boxup.core.unit import UNITS
from boxup.job.names import NAMES
from boxup.paper.html.element import Inside, Markup, el
from boxup.record.kinds import Field, Kind, kind_of
from boxup.record.typed import CELL_READ
from boxup.web.ask import Ask

# The other system's unit, offered beside the first.
OTHER = {"N.m": "lbf.ft", "MPa": "psi", "mm": "in", "m": "ft", "N": "lbf", "kg": "lb", "L": "gal", "degC": "degF", "min": ""}
MORE = {"kg": ("t",)}  # charts and plates are printed in it
SHOWN_FIRST = {"MPa": "bar", "N": "kN"}  # what the trade reads off a dial
CELL_SHOWS = ("kgf", "kg", "t", "lb", "klb")  # what else a load cell may show
FEW = 7  # as many words as stand beside one another; more are a list to open
PHOTO, SECOND = "photo", "second"
UNIT_FIRST = ("mg/L",)
OWN = ("kind", "id", "by", "at", "back", "corrects")  # names of what a form says of itself


def entry_form(
    ask: Ask, kind: str, *inside: Inside, button: str, given: Mapping[str, str] | None = None, back: str = "",
    settled: Mapping[str, str] | None = None, fields: Iterable[str] = (), photo: bool = False, cls: str = "", must: Collection[str] = (),
    last: Mapping[str, str] | None = None,
) -> Markup:  # fmt: skip
    """A form for one kind of entry. `fields`: the typed names shown, in that order, and what is `given` in them; `settled`: not asked.

    `inside` stands before the fields. Who and when stand in every form: the name is that of the person who holds the tablet, the time is
    now, unless something else is typed. `must`: names that may not be left out here. `last`: what was read the last time, shown pale in
    an empty box, in its unit, and never sent.
    """
    one = kind_of(kind)
    own = {"kind": kind, "id": str(uuid4()), "back": back or ask.url}
    sent = own | {name if name == "corrects" else name_of(name): value for name, value in (settled or {}).items()}
    kept = [hidden(name, value) for name, value in sent.items()]
    shown = [
        field(ask, one, _field(one, name), (given or {}).get(name, ""), (last or {}).get(name, ""), must=name in must) for name in fields
    ]
    more = [photo_field(ask)] if photo else []
    return el(
        "form", kept, *inside, shown, more, by_and_at(ask, given or {}), el("button", button, type="submit"),
        action=ask.link("enter"), method="post", enctype="multipart/form-data", cls=f"entry {cls}".strip(),
        data_pad_words=ask.w("form.pad"),
    )  # fmt: skip


def hidden(name: str, value: str) -> Markup:
    """A value that is sent and not shown."""
    return el("input", type="hidden", name=name, value=value)


def _field(kind: Kind, typed: str) -> Field:
    return next(f for f in kind.fields.values() if typed in (f.typed_name, f.name))


def field(ask: Ask, kind: Kind, f: Field, value: str = "", last: str = "", *, must: bool = False) -> Markup:
    """One field with its name, by what it takes. `last`: what was read the last time; `must`: may not be left out, here."""
    name, must = name_of(f.typed_name), must or f.must
    label = ask.w.told(_sentence(f.says)) + ("" if must else f" ({ask.w('form.second' if name == SECOND else 'form.may')})")
    if f.accepted:
        return choice(label, name, [(word, ask.w.told(word)) for word in f.accepted], value, must=must)
    if name in NAMES and (here := list(NAMES[name](ask.live.state.scope, ask.live.exchanger))):
        return choice(label, name, [(one, one) for one in here], value, must=must)
    if f.unit and f.unit != "-":
        return _quantity(ask, f, label, value, last)
    mode = {"whole": "numeric", "number": "decimal"}.get(f.type, "")
    return labelled(label, text_box(name, value, must=must, inputmode=mode))


def name_of(typed: str) -> str:
    """Under which name a field is sent: a gasket has a kind and an inside diameter `id`, and so has the form."""
    return f"its.{typed}" if typed in OWN else typed


def _sentence(text: str) -> str:
    """As the head of a field; a unit keeps its small letter."""
    return text if text.startswith(UNIT_FIRST) else text[:1].upper() + text[1:]


def text_box(name: str, value: str = "", *, must: bool = False, **attributes: str) -> Markup:
    """A box to type in."""
    return el("input", name=name, value=value, autocomplete="off", required="required" if must else "", **attributes)


def labelled(label: str, inside: Markup, hint: str = "") -> Markup:
    """A field under its name. The name is wrapped round it, for a page holds many forms with the same fields."""
    said = el("small", hint) if hint else Markup("")
    return el("div", el("label", el("span", label), inside), said, cls="field")


def choice(label: str, name: str, words: list[tuple[str, str]], value: str = "", *, must: bool = True) -> Markup:
    """One of several words: side by side where they are few, else a list to open."""
    if len(words) > FEW:
        first = [] if must and value else [Markup('<option value="">–</option>')]
        options = [el("option", said, value=word, selected="selected" if word == value else "") for word, said in words]
        return labelled(label, el("select", first, options, name=name, required="required" if must else ""))
    radios = [el("label", _radio(name, word, word == value, must), el("span", said)) for word, said in words]
    return el("fieldset", el("legend", label), el("div", radios, cls="words"))


def _radio(name: str, word: str, checked: bool, must: bool) -> Markup:
    marks = {"checked": "checked" if checked else "", "required": "required" if must else ""}
    return el("input", type="radio", name=name, value=word, **marks)


def _quantity(ask: Ask, f: Field, label: str, value: str, last: str) -> Markup:
    """A number and its unit; several readings stand with blanks between them."""
    first = SHOWN_FIRST.get(f.unit, f.unit)
    units = [u for u in (first, *([f.unit] if first != f.unit else []), *MORE.get(f.unit, ()), OTHER.get(f.unit, "")) if u]
    units += CELL_SHOWS if f.says in CELL_READ else ()
    ask_unit = f.unit in MORE and f.type.endswith("*") and not value  # 12 of a chart is 12 t, or 12 kg: nobody guesses
    number, unit = ("", "") if ask_unit else _taken_apart(value or f" {_taken_apart(last, units)[1]}", units)
    name = name_of(f.typed_name)
    several = f.type.endswith("*")
    mode = {"inputmode": "" if several else "decimal", "data_pad": "" if several else "yes"}
    was = ask.w("form.was", last=_signed(last, units)) if last else ""
    typed = labelled(label, text_box(name, number, must=f.must, placeholder=was, **mode), ask.w("form.several") if several else "")
    options = [el("option", UNITS[u].sign, value=u, selected="selected" if u == unit else "") for u in units]
    blank = [Markup('<option value="">–</option>')] if ask_unit else []
    needed = "required" if ask_unit and f.must else ""
    pick = el("select", blank, options, name=f"{name}.unit", aria_label=f"{label}: {ask.w('form.unit')}", required=needed)
    return el("div", typed, pick, cls="quantity")


def _taken_apart(value: str, units: list[str]) -> tuple[str, str]:
    number, _, unit = value.rpartition(" ")
    return (number, unit) if unit in units else (value, units[0])


def _signed(value: str, units: list[str]) -> str:
    """`14 degC` as `14 °C`."""
    number, unit = _taken_apart(value, units)
    return f"{number} {UNITS[unit].sign}"


def by_and_at(ask: Ask, given: Mapping[str, str]) -> Markup:
    """Whose hands, and when; folded where the person is known, for it is nearly always them, now."""
    w, name = ask.w, ask.person.name
    said = el("summary", w("form.by_and_at", name=name or w("form.nobody")))
    by = labelled(w("form.by"), text_box("by", given.get("by") or name, must=True))
    at = labelled(w("form.at"), text_box("at", given.get("at", "")), w("form.at_hint"))
    return el("details", said, by, at, cls="by-at", open="" if name else "open")


def photo_field(ask: Ask) -> Markup:
    """A photo from the camera or the store; it is made smaller before it is sent, where the browser can."""
    pick = el("input", name=PHOTO, type="file", accept="image/jpeg,image/png,image/webp", data_photo="yes")
    return labelled(ask.w("form.photo"), pick, ask.w("form.photo_hint"))


def typed_words(kind: Kind, form: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by key, as `boxup log` takes it: units beside their numbers, blanks left out."""
    return dict(_typed(kind, form))


def _typed(kind: Kind, form: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for f in kind.fields.values():
        name = name_of(f.typed_name)
        text = form.get(name, form.get(f.name, "")).strip()
        if not text:
            continue
        unit = form.get(f"{name}.unit", "")
        yield f.typed_name, f"{text} {unit}" if f.unit not in ("", "-") and unit and _bare(text) else text


def _bare(text: str) -> bool:
    """Only numbers: the unit stands beside them."""
    return all(part.lstrip("+-").replace(".", "", 1).isdigit() for part in text.replace(",", " ").split())
