"""Generated cases by seed: a machine file and a procedure file, now and then a called procedure."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

from procforge.findings import Outcome
from procforge.model.procedure import Procedure
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from simulator.edits import PAIRS, Editor
from simulator.jobs import Job
from simulator.machines import Machine, Maker
from simulator.tangles import Tangle
from simulator.text import Block, Item, Line, bodies, render, step

MAIN = "job.proc"
MODES = (*("sound",) * 6, *("one-edit",) * 4, "edits", "edits", "random")


class TangledCase:
    """The files of one seed: a small machine, and work nested in every way."""

    mode = "tangle"

    def __init__(self, seed: int) -> None:
        self.seed = seed
        chance = Random(f"tangle {seed}")
        tangle = Tangle(chance, chance.randint(5, 16))
        body = tangle.body(3, 7)
        self.edits: list[str] = []
        head = [f'procedure T-{seed} "Job"', 'use "rig.equip"', "crew 1 fitter, 1 supervisor"]
        self.files = {"rig.equip": tangle.machine, MAIN: "\n".join([*head, *render(body)]) + "\n"}

    def resolved(self) -> Outcome[Procedure]:
        """The files through parser and resolver."""
        return resolve_files(self.files)


class Case:
    """The files of one seed and how they were made."""

    def __init__(self, seed: int) -> None:
        self.seed = seed
        chance = Random(seed)
        self.mode = chance.choice(MODES)
        self.edits: list[str] = []
        machine = Maker(chance).make()
        job = Job(machine, chance)
        body = job.build()
        editor = Editor(machine, chance)
        called: list[Item] = []
        if self.mode == "random":
            body = [editor.random_step() for _ in range(chance.randint(4, 14))]
            for _ in range(chance.randint(1, 4)):
                body.append(
                    Line(f"check {chance.choice(['ring-look', 'x-look'])} on {chance.choice(machine.names['part'])}")
                )
                chance.shuffle(body)
                self.edits.append(editor.edit(body))
        # A sound job mostly stays one: what is drawn here is right or wrong by chance.
        head = self.own(machine, chance, body) if self.mode != "sound" or chance.random() < 0.4 else []
        if chance.random() < (0.1 if self.mode != "sound" else 0.04) and len(body) > 6:
            start = chance.randrange(len(body) - 4)
            called = body[start : start + chance.randint(1, 4)]
            body[start : start + len(called)] = [Line('do "part.proc"')]
        elif chance.random() < 0.1 and len(body) > 6:
            start = chance.randrange(len(body) - 4)
            inner = body[start : start + 2]
            body[start : start + 2] = [Line("do piece")]
            body.append(Block([('block piece "Piece"', inner)]))
        for _ in range({"sound": 0, "one-edit": 1, "edits": chance.randint(2, 5), "random": 0}[self.mode]):
            self.edits.append(editor.edit(body))
        if chance.random() < 0.04 and self.mode == "edits":
            spot = editor.somewhere(body)
            if spot:
                spot[0].insert(
                    spot[1],
                    Line(
                        f"stepp {chance.choice(list(PAIRS))} {chance.choice([n for names in machine.names.values() for n in names])}"
                    ),
                )
        self.files = {
            "rig.equip": "\n".join(machine.lines) + "\n",
            MAIN: "\n".join([*self.top("Job"), *head, *render(body)]) + "\n",
        }
        if called:
            self.files["part.proc"] = (
                "\n".join(
                    [
                        *self.top("Part"),
                        *self.contract(called, body, machine, chance),
                        *self.shared(head, chance),
                        *render(called),
                    ]
                )
                + "\n"
            )

    def top(self, title: str) -> list[str]:
        """The first lines of a procedure."""
        return [f'procedure T-{self.seed} "{title}"', 'use "rig.equip"', "crew 1 fitter, 1 supervisor"]

    def contract(self, called: list[Item], _body: list[Item], machine: Machine, chance: Random) -> list[str]:
        """What the called part starts from and leaves: some state words, right or wrong."""
        words = []
        for room in machine.rooms:
            for state in ("isolated", "locked", "relieved", "proved", "gas-free"):
                if chance.random() < 0.5:
                    words.append(f"{room.name} {state}")
        found = [f"starts {', '.join(words)}"] if words else []
        names = machine.names.get("fastener", []) + machine.names.get("part", [])
        left = []
        for line in (i for b in bodies(called) for i in b if isinstance(i, Line)):
            for name in names:
                if line.text.split() == ["step", "remove", name]:
                    left.append(f"{name} {'loose' if name in machine.names.get('fastener', []) else 'out'}")
        return found + ([f"leaves {', '.join(dict.fromkeys(left))}"] if left else [])

    def applies(self, machine: Machine, chance: Random) -> list[str]:
        """Now and then the called part is for one variant only."""
        scoped = machine.scopes and self.mode != "sound" and chance.random() < 0.15
        return [f"applies to {chance.choice(machine.scopes)}"] if scoped else []

    def shared(self, head: list[str], chance: Random) -> list[str]:
        """The house rules of the job, now and then in the called part as well."""
        return [line for line in head if line.startswith("house rule") and chance.random() < 0.4]

    def own(self, machine: Machine, chance: Random, body: list[Item]) -> list[str]:
        """Facts of the user's own, house rules, `leaves`: with the steps that make and need them."""
        head: list[str] = []
        lines = [i for b in bodies(body) for i in b if isinstance(i, Line) and i.text.startswith(("step", "check"))]
        if chance.random() < 0.2 and len(lines) > 4:
            part = chance.choice(machine.names["part"])
            undone = f", undone by {part} {chance.choice(['removed', 'fitted'])}" if chance.random() < 0.5 else ""
            if chance.random() < 0.3:
                undone = f", undone by {machine.rooms[0].name} {chance.choice(['opened', 'closed', 'vented'])}"
            head.append(f'fact swept "Floor swept"{undone}')
            one, two = sorted(chance.sample(range(len(lines)), 2))
            lines[one].under.append("makes swept")
            lines[two].under.append("needs swept")
            if chance.random() < 0.2:
                chance.choice(lines).under.append("undoes swept")
        if chance.random() < 0.2 and len(lines) > 4:
            sides = []
            for line in sorted(chance.sample(range(len(lines)), 2)):
                words = lines[line].text.replace(",", "").split()
                sides.append(
                    words[1]
                    if words[0] == "check" or len(words) < 3 or chance.random() < 0.3
                    else f"{words[1]} {words[2]}"
                )
            undone = (
                f", undone by {chance.choice(machine.names['part'])} {chance.choice(['removed', 'fitted', 'opened'])}"
                if chance.random() < 0.4
                else ""
            )
            head.append(f'house rule "First the one": {house_rule(machine, chance, sides, undone)}')
            if chance.random() < 0.3:
                head.append(f'house rule "And the other": {house_rule(machine, chance, sides[::-1], undone)}')
        if chance.random() < 0.1:
            part = chance.choice(machine.names["part"])
            head.append(f"leaves {part} {chance.choice(['out', 'out', 'marked'])}")
        if chance.random() < 0.08:
            kind = chance.choice(["isolator", "valve", "part", "fastener"])
            if machine.names.get(kind):
                word = {"isolator": "isolated", "valve": "open", "part": "out", "fastener": "loose"}[kind]
                head.append(f"{chance.choice(['starts', 'leaves'])} {chance.choice(machine.names[kind])} {word}")
        return head

    def resolved(self) -> Outcome[Procedure]:
        """The files through parser and resolver."""
        return resolve_files(self.files)


def house_rule(machine: Machine, chance: Random, sides: list[str], undone: str) -> str:
    """A house rule of any form on two events."""
    one, two = sides
    words = {
        "isolator": ("isolated", "locked"),
        "valve": ("open", "shut"),
        "part": ("in", "out"),
        "pressure-space": ("proved", "isolated"),
    }
    kind = chance.choice([k for k in words if machine.names.get(k)])
    state = f"{chance.choice(machine.names[kind])}{chance.choice([' ', ' ', ' not '])}{chance.choice(words[kind])}"
    return chance.choice(
        [
            f"{one} before {two}{undone}", f"{two} only after {one}{undone}", f"never {two}", f"never {two} while {state}",
            f"never {two} while {state} and {machine.names['part'][0]} in", f"never {two} after {one}{undone}",
            f"never {one} after {two}{undone}", f"at least once {one}", f"{two} after every {one}",
            f"{one} after every {two}, before {one}", f"{one} after every {two}",
        ]
    )  # fmt: skip


def resolve_files(files: dict[str, str], main: str = MAIN) -> Outcome[Procedure]:
    """Files held in memory through parser and resolver."""

    def read(path: Path) -> bytes:
        if path.name not in files:
            raise FileNotFoundError(path)
        return files[path.name].encode()

    reader: Callable[[Path], bytes] = read
    return resolve(Library(reader), Path(main))


__all__ = ["Case", "resolve_files", "step"]
