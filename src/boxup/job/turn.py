"""Which time round a joint comes next, by what is on record: what was never pulled, what broke off, what must be pulled again and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from boxup.job.bolting import LOADED, SNUG, WAIT, studs_said
from boxup.job.person import among
from boxup.job.state import JointState, Round
from boxup.joint.crossover import tightening_order
from boxup.joint.passes import ACROSS, first_four

AROUND = ("round", "round after the wait", "verify")  # clockwise from stud to stud; all others across
CORRECTIVE, VERIFY, AFTER = "corrective", "verify", "round after the wait"
FRACTION = dict(zip(("pass 1", "pass 2", "pass 3"), ACROSS, strict=True))  # all the rest at full torque, snug with none


@dataclass(frozen=True, slots=True)
class Turn:
    """One time round. `order`: its studs in order; `left`: those still to do, in order; `because`: why it is pulled again, or nothing."""

    name: str
    order: tuple[int, ...] = ()
    left: tuple[int, ...] = ()
    because: str = ""

    @property
    def broken_off(self) -> bool:
        """Some studs of it are on record and some are not."""
        return 0 < len(self.left) < len(self.order)

    @property
    def fraction(self) -> float:
        """Of the target torque; 0 for hand-tight."""
        return 0.0 if self.name in SNUG else FRACTION.get(self.name, 1.0)


def order_of(name: str, studs: int) -> tuple[int, ...]:
    """The studs of a time round, in its order. Nothing where the count is not known."""
    if studs < 2:
        return tuple(range(1, studs + 1))
    if name == "four snug":
        return first_four(studs)
    return tuple(range(1, studs + 1)) if name in AROUND else tuple(tightening_order(studs))


def last_in_order(name: str, said: Sequence[int], studs: int) -> int:
    """The stud at which a time round stopped, where its studs were told as they were pulled: a run of its order. Else 0."""
    order = order_of(name, studs)
    if not said or len(said) >= len(order) or said[0] not in order:
        return 0
    start = order.index(said[0])
    return said[-1] if tuple(said) == order[start : start + len(said)] else 0


def next_turn(joint: JointState) -> Turn | None:
    """What is pulled next. None where nothing is: all is on record, or it weeped and one corrective pass does not mend it.

    One corrective pass mends a joint that was pulled up as the card says and weeped once, no other.
    """
    short = next(_turns(joint), None)
    if joint.weeping:
        return _turn(joint, CORRECTIVE, ()) if joint.weeps < 2 and short is None else None
    return short


def _turns(joint: JointState) -> Iterator[Turn]:
    before: Round | None = None
    for name in (*SNUG, *LOADED, VERIFY):
        round_ = joint.rounds.get(name)
        if round_ is None:
            yield _turn(joint, name, ())
            return
        again = () if name in SNUG else tuple(_again(joint, round_, before))
        if again or (name != "four snug" and _left(joint, name, round_)):
            yield _turn(joint, name, again)
            return
        before = round_ if name not in SNUG else None


def _turn(joint: JointState, name: str, again: tuple[str, ...]) -> Turn:
    order = order_of(name, joint.studs or 0)
    round_ = joint.rounds.get(name)
    if again or round_ is None:
        return Turn(name, order, order, "; ".join(again))
    dry = f"{studs_said(sorted(round_.dry))} pulled on dry, wet or dirty threads" if round_.dry else ""
    return Turn(name, order, _left(joint, name, round_), dry)


def _left(joint: JointState, name: str, round_: Round) -> tuple[int, ...]:
    """Studs not on record, and those pulled on dry threads."""
    return tuple(s for s in order_of(name, joint.studs or 0) if s not in round_.studs or s in round_.dry)


def _again(joint: JointState, round_: Round, before: Round | None) -> Iterator[str]:
    """Why the whole of it is pulled again."""
    yield from round_.faults
    if before and before.ended and round_.ended and round_.ended < before.ended:
        yield f"it was made before {before.name}"
    if round_.name == AFTER:
        yield from _too_early(joint, round_)
        verified = joint.rounds.get(VERIFY)
        if verified and verified.moved and verified.ended and round_.ended and round_.ended <= verified.ended:
            yield f"{verified.moved} nuts still turned when it was verified"
    if round_.name == VERIFY and among(round_.by, pullers(joint)):
        yield f"{round_.by} pulled it; a second man verifies"


def _too_early(joint: JointState, round_: Round) -> Iterator[str]:
    since = joint.rounds.get("round")
    if since and since.ended and round_.began and round_.began - since.ended < WAIT:
        yield f"it began {round_.began:%H:%M}, less than {WAIT.total_seconds() / 3600:g} h after the round"


def pullers(joint: JointState) -> tuple[str, ...]:
    """Whose hands pulled the last rounds: none of them verifies."""
    rounds = [joint.rounds[name] for name in ("round", AFTER) if name in joint.rounds]
    return tuple(dict.fromkeys(hand for r in rounds for hand in sorted(r.hands)))


def wait_ends(joint: JointState) -> datetime | None:
    """When the round after the wait may begin at the earliest: the wait after the end of the round. None without a whole round."""
    first = joint.rounds.get("round")
    return first.ended + WAIT if first and first.ended else None
