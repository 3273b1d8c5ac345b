"""Started with a lock on.

The machine is started while a lock is still on a device that isolates one of its drives. Locks on other devices
are not asked.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="started-with-lock-on",
    family=ENERGY,
    basis="29 CFR 1910.147(e)(3)",
    message="the machine is started with a lock on {thing}",
    label="started here",
    why="{state}",
    mend="take the lock off first, by whoever put it on",
    rank=50,
)
