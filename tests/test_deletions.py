"""Every step of every shipped procedure is there for a reason that the validator knows, or is on the list below."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.mutants import PROCEDURES, ROOT, statements, verdict, without

#: What may be taken out unnoticed, and why the proof cannot know better.
MAY_SURVIVE = {
    "notify": "telling people before the work leaves no fact; only the telling before the start is asked for",
    "clean": "how clean a thing is leaves no fact",
    "inspect": "looking at a thing leaves no fact; what must be judged is a check",
    "lubricate": "oil on a thread leaves no fact",
    "count": "a count leaves no fact",
    "record": "a record leaves no fact",
    "observe": "what is seen while running leaves no fact",
    "nip-up": "it makes a stop safer; the stop is sound without it, with the space relieved",
    "lift": "lifting leaves no fact",
    "support": "propping a thing leaves no fact",
    "align": "how well a thing is aligned is a reading, not a fact",
    "carry-out": "a free instruction has no known effect",
    "gas-test": "a gas reading is asked for by a house rule, if the site has one",
    "retighten": "it undoes nothing and gives nothing the joint has not",
    "review": "a review of papers guards what its `before` says",
    "measure": "a reading nobody asks for leaves no fact",
    "readings": "a table of readings leaves no fact",
}
#: Never, whatever the reason.
MUST_BE_FOUND = {
    "isolate", "lock", "vent", "drain", "prove", "try-start", "purge", "fit", "renew", "exchange", "tighten", "leak-test", "relieve",
    "unlock", "return", "remove", "ease", "shut-down", "start", "shut", "open", "clear", "look-into", "mark", "hold", "check",
    "connect", "disconnect", "let-down", "pressurise", "tension", "charge", "rebuild", "witness", "switch-on", "switch-off",
}  # fmt: skip


@pytest.mark.parametrize("path", PROCEDURES, ids=lambda p: p.relative_to(ROOT / "procedures").as_posix())
def test_deleting_any_step_is_found(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = path.read_text(encoding="utf-8")
    assert not verdict(path, text)
    survivors = []
    wrong = []
    for statement in statements(text):
        if verdict(path, without(text, statement)):
            continue
        line = text.split("\n")[statement.first - 1].strip()
        reason = MAY_SURVIVE.get(statement.verb)
        survivors.append(f"  line {statement.first}: {line}  ({reason})")
        if reason is None or statement.verb in MUST_BE_FOUND:
            wrong.append(f"line {statement.first}: {line}")
    with capsys.disabled():
        print(f"\n{path.name}: {len(survivors)} of {len(statements(text))} statements may be taken out unnoticed")
        print("\n".join(survivors))
    assert not wrong
