"""A finding that holds for some variants only names them."""

from __future__ import annotations

import shutil
from pathlib import Path

from procforge.stages import check_paths

SHARED = Path(__file__).parent / "pages" / "shared"


def test_a_wrench_too_coarse_for_one_model_only(tmp_path: Path) -> None:
    shutil.copy(SHARED / "a-head.proc", tmp_path)
    machine = (SHARED / "a-head.equip").read_text(encoding="utf-8")
    fine = machine.replace("torque 45 N.m +/- 10 % for large", "torque 45 N.m +/- 3 % for large")
    (tmp_path / "a-head.equip").write_text(fine, encoding="utf-8")
    (found,) = check_paths([tmp_path / "a-head.proc"])
    assert found.rule == "wrench-too-coarse"
    assert found.variants
    assert all("large" in name and "small" not in name for name in found.variants)
