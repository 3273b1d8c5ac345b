"""The pictures of a procedure, looked at once for the rules that judge them."""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.procedure import Check, Measure, Step
from procforge.resolve.picture import Amiss, read_picture
from procforge.rules.base import Case, Finder


def finder(rule: str) -> Finder:
    """The findings of one rule on the pictures."""

    def find(case: Case) -> Iterator[Finding]:
        from procforge.rules.registry import BY_NAME  # the registry imports the rules

        seen = set()
        for work in case.works:
            for figure in work.figures if isinstance(work, Step | Check | Measure) else ():
                if figure.where in seen:
                    continue
                seen.add(figure.where)
                found = read_picture(figure)
                if isinstance(found, Amiss) and found.rule == rule:
                    yield BY_NAME[rule].finding(figure.where, found.message, found.mend)

    return find
