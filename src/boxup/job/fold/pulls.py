"""Readings on the way of the bundle: kept as they were read; what they mean at their place is told on the story."""

from __future__ import annotations

from boxup.job.fold.engine import Folding, tells
from boxup.record.event import Event


@tells("bundle.force_read")
def read(f: Folding, e: Event) -> None:
    """A pull at the stop of its place, or risen by a quarter; a hook out of its range. It changes no step."""
    from boxup.job.on_its_way import pulls_of
    from boxup.lift.reading import judged

    p = e.payload
    before = f.pulls.setdefault(p["way"], [])
    if f.state.exchanger is not None:
        pulls = pulls_of(f.state.exchanger, p["way"])
        for said in judged(pulls, float(p["position_m"]), float(p["force_n"]), before, p.get("hook_n")):
            f.notice(said.level, said.text, said.source)
    before.append(float(p["force_n"]))
