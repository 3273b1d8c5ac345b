"""Coverage-guided attack on text → nodes → models → proof → findings → words; a script that pytest does not collect.

`pip install atheris`, then `nice -n 19 python -m tests.fuzz_text FOLDER [seconds]` from the top of the checkout. An input
is a procedure, a line of `%%%%`, a machine. Half of the edits are the engine's own on bytes, half those of `tests.vandal`
on lines. A fault does not end the run: the first input of each kind goes into FOLDER, by where it was raised; the count
is printed as it goes. Faults are: any exception, a finding that is no finding, a text called sound though a line of it
could not be read, and more than `SLOW` seconds of processor time.
"""

from __future__ import annotations

import hashlib
import random
import sys
import time
import traceback
from io import StringIO
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["procforge"]):
    from procforge.report import FORMATS, write
    from procforge.stages import check_file
    from procforge.syntax.parse import parse_bytes

from tests.test_attack import HEAD, LOOK, MACHINE, parts
from tests.vandal import FILES, edited, reader, vocabulary, well_formed

CUT = b"\n%%%%\n"
LONGEST = 8000
SLOW = 20.0


def examples() -> list[bytes]:
    """Small whole jobs, and the shipped ones cut to the length that is fuzzed."""
    work = f"step remove p0 by fitter\n{LOOK}when look rejected\nstep renew p0 by fitter\notherwise\nstep clean p0 by fitter\nend\nstep fit p0 by fitter\n"
    blocks = f'any order\nstep observe p0 by fitter\nstep observe p1 by fitter\nend\ntogether\nstep clean p0\nalso\nstep clean p1\nend\nask "Is it so?"\nyes\nstep observe p1\nno\nend\nrepeat until look accepted, at most 3 times\n{LOOK}end\n'
    machine = (MACHINE + parts(2)).encode()
    found = [(HEAD + body).encode() + CUT + machine for body in (work, blocks, work + blocks)]
    for path in FILES:
        text = path.read_bytes()
        found.append(text[:LONGEST] if path.suffix == ".proc" else HEAD.encode() + CUT + text[: LONGEST - 600])
    return found


def one(data: bytes) -> None:
    """All stages on one input."""
    procedure, _, machine = data.partition(CUT)
    texts: dict[str, str | bytes] = {"x.proc": procedure, "m.equip": machine}
    library = reader(texts)
    try:
        checked = check_file(library, Path("x.proc"))
    except OSError:
        return  # the command line says so itself
    for finding in checked.findings:
        well_formed(finding)
    for name in FORMATS:
        write(checked.findings, name, StringIO())
    for name, text in texts.items():
        used = name == "x.proc" or (checked.case is not None and checked.case.procedure.equipment.items)
        if used and isinstance(text, bytes) and parse_bytes(name, text).value.holes:
            assert not checked.sound, f"sound though {name} has lines that could not be read"


class Fuzz:
    """One run: its faults by place."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.faults: dict[str, int] = {}
        self.runs = 0
        self.start = time.monotonic()

    def __call__(self, data: bytes) -> None:
        self.runs += 1
        start, said = time.process_time(), ""
        try:
            one(data)
            fault = "slow" if time.process_time() - start > SLOW else ""
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            fault, said = f"{type(error).__name__} {Path(last.filename).name}:{last.lineno}", str(error)[:200]
        if fault:
            if fault not in self.faults:
                name = hashlib.sha1(fault.encode()).hexdigest()[:8]
                (self.folder / f"fault-{name}.txt").write_bytes(data)
                print(f"FAULT {name}: {fault} {said!r}", flush=True)
            self.faults[fault] = self.faults.get(fault, 0) + 1
        if self.runs % 200 == 0:
            self.count()

    def count(self) -> None:
        """How far it is: the engine ends the process without coming back here."""
        spent = time.monotonic() - self.start
        print(f"{self.runs} inputs in {spent:.0f} s ({time.process_time():.0f} s of processor), {len(self.faults)} kinds of fault: {self.faults}", flush=True)  # fmt: skip


def mutated(data: bytes, max_size: int, seed: int) -> bytes:
    """The next input from one before."""
    chance = random.Random(seed)
    if chance.random() < 0.5:
        return atheris.Mutate(data, max_size)
    text = edited(chance, data.decode("utf-8", "surrogateescape"), chance.choice((1, 1, 2, 4)))
    return text.encode("utf-8", "surrogatepass")[:max_size]


def main() -> None:
    """Examples and words into the folder, then the run."""
    folder = Path(sys.argv[1])
    seconds = int(sys.argv[2]) if len(sys.argv) > 2 else 600
    corpus = folder / "corpus"
    corpus.mkdir(parents=True, exist_ok=True)
    for number, example in enumerate(examples()):
        (corpus / f"example-{number}").write_bytes(example)
    words = folder / "words"
    words.write_text("".join(f'"{w}"\n' for w in vocabulary() if w.isascii() and "\\" not in w), encoding="utf-8")
    fuzz = Fuzz(folder)
    engine = [sys.argv[0], f"-max_total_time={seconds}", f"-max_len={LONGEST}", f"-dict={words}", "-timeout=120", "-rss_limit_mb=3000", f"-artifact_prefix={folder}/", str(corpus)]  # fmt: skip
    atheris.Setup(engine, fuzz, custom_mutator=mutated)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
