"""One bolted joint judged: what its torque does to the bolt at both ends of the friction range."""

from __future__ import annotations

from dataclasses import dataclass

from procforge.engineering.base import Outside, Result
from procforge.engineering.bolting import Scatter, scatter
from procforge.engineering.figures import Fault, shown
from procforge.engineering.friction import Friction
from procforge.engineering.strength import Strength, share_of_proof
from procforge.engineering.threads import Thread
from procforge.findings import Severity


@dataclass(frozen=True, slots=True)
class Joint:
    """Preloads and shares of proof over the friction range, and what is wrong with them."""

    preload: Scatter
    share_most: Result
    share_middle: Result
    share_least: Result
    faults: tuple[Fault, ...]


def judge_joint(
    torque: float,
    thread: Thread,
    strength: Strength,
    friction: Friction,
    tolerance: float = 0.0,
    bearing: float | None = None,
) -> Joint | Outside:
    """A torque (N·m, with its upper `tolerance` as a share) on a thread: preloads, shares of proof, faults.

    `above-proof`: at the least friction and the upper end of the tolerance the bolt passes its proof load.
    """
    preload = scatter(torque, thread, friction, bearing)
    if isinstance(preload, Outside):
        return preload
    shares = []
    for one in (preload.most, preload.middle, preload.least):
        share = share_of_proof(one.value, thread, strength)
        if isinstance(share, Outside):
            return share
        shares.append(share)
    faults = []
    worst = shares[0].value * (1 + max(0.0, tolerance))
    if worst > 1:
        what = "proof load" if strength.reference == "proof stress" else "yield load"
        faults.append(
            Fault(
                "above-proof",
                Severity.WARNING,
                f"{shown(torque, 'N·m')} on {thread.name} {strength.name} reaches {shown(worst, '%')} of the {what}"
                f" where the friction is {friction.low:g} ({friction.word})",
                "check the torque, the class and the lubricant against the maker's manual",
            )
        )
    return Joint(preload, shares[0], shares[1], shares[2], tuple(faults))
