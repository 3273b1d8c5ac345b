"""All calculations, in the order they are listed."""

from __future__ import annotations

from procforge.reckon.base import Calculation
from procforge.reckon.bolts import BOLTS
from procforge.reckon.gases import GASES
from procforge.reckon.judging import JUDGING
from procforge.reckon.tightness import TIGHTNESS
from procforge.reckon.times import TIMES

CALCULATIONS: tuple[Calculation, ...] = (*BOLTS, *GASES, *TIGHTNESS, *JUDGING, *TIMES)
BY_NAME: dict[str, Calculation] = {one.name: one for one in CALCULATIONS}
