"""A relief valve is out over a live space.

A safety device is loosened, taken out, gagged or shut off at its inlet while the space it protects is not
isolated and no other device protects it, or the space is fed again before a device that protects it is in
service: in, its inlet open, its gag out. While the space is isolated, or a spare is in service, the device may be
out.
"""

from __future__ import annotations

from procforge.rules.base import ENERGY, proof_rule

RULE = proof_rule(
    __doc__,
    name="relief-valve-out",
    family=ENERGY,
    basis="common practice; the pressure equipment code in force",
    message="{about} is live while its safety device is out of service",
    label="here",
    why="{state}: nothing limits the pressure while the device is out of service",
    mend="put the spare device in service first, or keep {about} isolated until its own is in, its inlet open, its gag out",
    rank=5,
)
