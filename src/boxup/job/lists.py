"""The lists of one exchanger as the order of work needs them: joints, gaskets, blinds, openings, lifts, tools, tests, tubes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from boxup.exchanger.joints import LANTERN_RING, REAR_COVER, STUFFING_BOX, group_of
from boxup.exchanger.model import Blind, Exchanger, Nozzle
from boxup.exchanger.parts import parts
from boxup.hydro.plan import plain_ends, plan_of
from boxup.job.asked import asked_for
from boxup.job.plugs import plug_list
from boxup.job.scope import Scope, scope_of_lists

Line = Mapping[str, str | None]
BOLTING = ("hand torque wrench", "hydraulic wrench", "pump", "tensioner")
TESTS = {"B": "bench", "S1": "bare ends", "T": "tube", "S2": "final shell"}
WEEP = "weep hole"  # of a lantern ring: nobody opens or closes it, it is only kept clear
# What the order of work calls the joints of a type that stand under another name in the exchanger's own list.
_KINDS = {REAR_COVER: "rear head", LANTERN_RING: "rear head", STUFFING_BOX: "packing gland"}
# The joint that a part is lifted off, by kind; the first of these the exchanger has.
_LIFTED_AT: dict[str, tuple[str, ...]] = {
    "channel_cover": ("channel cover", "special closure"),
    "channel": ("channel/tubesheet", "tubesheet/shell"),
    "floating_head": ("floating head",),
    "rear_head": ("rear head", "shell packing"),
    "rear_cover": ("rear cover", "rear head"),
    "shell_cover": ("shell cover",),
}


def scope_of(exchanger: Exchanger) -> Scope:
    """The steps of this exchanger's job, each for its own joints, gaskets, blinds and so on. Options refused: FlagError."""
    scope = scope_of_lists(str(exchanger.letters), exchanger.options, lists_of(exchanger), ribs_drawn(exchanger))
    return replace(scope, notes=(*plug_list(exchanger).findings, *asked_for(exchanger.identity.job_scope, scope.flags)))


def ribs_drawn(exchanger: Exchanger) -> dict[str, bool]:
    """Whether front and rear gaskets have pass ribs: no where the file's passes leave none, else as the letters have it."""
    return {f"{end}_ribs": False for end in plain_ends(exchanger)}


def lists_of(exchanger: Exchanger) -> dict[str, list[Line]]:
    """Every list the file gives; a list that it does not give is absent, so that its steps stand once."""
    nozzle_side, shared = {n.id: n.side for n in exchanger.nozzles}, shared_nozzles(exchanger)
    found: dict[str, list[Line]] = {
        "joints": [*_joints(exchanger), *({"id": n.id, "kind": "shared nozzle", "side": n.side} for n in shared)],
        "nozzles": [{"id": n.id, "kind": "process nozzle", "side": n.side} for n in exchanger.nozzles if n not in shared],
        "gaskets": [{"id": j.gasket.id, "kind": "gasket", "joint": j.id} for j in exchanger.joints if j.gasket],
        "blinds": [_blind(b, nozzle_side.get(b.nozzle)) for b in exchanger.blinds],
        "openings": [{"id": o.id, "kind": "small bore", "side": o.side, "on": o.on} for o in exchanger.openings if o.kind != WEEP],
        "lifts": _lifts(exchanger),
        "tools": [{"id": t.id, "kind": "bolting" if t.kind in BOLTING else "gauge"} for t in exchanger.tools if t.kind != "relief valve"],
        "tests": [{"id": t.code, "kind": TESTS[t.code], "side": t.side} for t in plan_of(exchanger)],
        "tubes": [{"id": t, "kind": "tube"} for t in exchanger.to_plug],
    }
    return {name: lines for name, lines in found.items() if lines}


def shared_nozzles(exchanger: Exchanger) -> tuple[Nozzle, ...]:
    """The nozzles bolted to a stacked neighbour without a spool between: joints of both exchangers."""
    return tuple(n for n in exchanger.nozzles if n.shared_with) if exchanger.options.get("stacked") else ()


def _blind(b: Blind, side: str | None) -> Line:
    """A test blind closes the nozzle itself; only a process blind may sit at the far end of the spool."""
    return {"id": b.id, "kind": b.use, "side": side, "nozzle": b.nozzle, "at": b.at if b.use == "process" else "nozzle"}


def _joints(exchanger: Exchanger) -> list[Line]:
    lines: list[Line] = []
    owner: dict[str, str] = {}
    for j in exchanger.joints:
        line = {"id": j.id, "kind": _kind(exchanger, j.kind), "side": j.sides[0]}
        if j.studs:
            first = owner.setdefault(j.studs.id, j.id)
            line |= {"studs_of": first} if first != j.id else {}
        lines.append(line)
    return lines


def _kind(exchanger: Exchanger, kind: str) -> str:
    """The cover of an L rear is a joint beside that of its channel; that of an N is its only rear joint."""
    if kind == REAR_COVER and exchanger.letters.rear == "L":
        return kind
    return _KINDS.get(group_of(kind), group_of(kind))


def _lifts(exchanger: Exchanger) -> list[Line]:
    lines: list[Line] = []
    for p in parts(exchanger):
        if p.with_bundle:
            continue
        at = next((j.id for kind in _LIFTED_AT.get(p.id, ()) for j in exchanger.joints if j.kind == kind), None)
        lines.append({"id": p.id.replace("_", "-"), "kind": "bundle" if p.id == "bundle" else "head"} | ({"joint": at} if at else {}))
    return lines
