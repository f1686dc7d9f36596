"""Steps that are one person's figure: who ticks them says in which role, and only that role counts."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.job.state import Tick

SIGNED_AS = {"THRUST_OK": "engineer"}  # by step: the role


def lacking(step: str, tick: Tick) -> Iterator[str]:
    """Why a tick is not that figure: another role or none, with the tick or behind it on the same step; neither figure nor paper."""
    role = SIGNED_AS.get(step)
    if role is None:
        return
    behind = any(hold.role == role and not hold.refused and tick.at is not None and hold.at >= tick.at for hold in tick.holds)
    if tick.role != role and not behind:
        said = f"as {tick.role}" if tick.role else "in no role"
        yield f"{tick.by} signed it {said}; it takes the {role}, in that role"
    if not tick.reading and not tick.paper:
        yield f"neither the figure of the {role} nor the number of the paper it stands on is given"
