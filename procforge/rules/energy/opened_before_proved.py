"""Opened before it is proved.

A space is opened whose zero pressure was not read at its gauge since the last step that undoes a proof: setting
or returning a feed, taking a lock off, purging, test pressure, a handover, or a wait of a space that refills. A
computed vent time is never a proof. Nuts that are eased and nipped up again after the proof undo nothing.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="opened-before-proved",
    family=ENERGY,
    basis="29 CFR 1910.147(d)(6)",
    message="{about} is opened while it can still hold pressure",
    label="opened here",
    why="a vented space can refill through a leaking valve; only a proof at the gauge counts",
    mend="prove {about} at its gauge before this step, after the last step that undoes the proof",
    rank=4,
)
