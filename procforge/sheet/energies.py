"""Energies and their isolation: the table before the work, and the list to tear off and hang at the lock box."""

from __future__ import annotations

from procforge.model.base import pick
from procforge.model.equipment import Energy, Scheme, Vent
from procforge.sheet.english import joined, upper_first
from procforge.sheet.fields import field_id
from procforge.sheet.inline import Blank, BlankKind, Cell, Prose
from procforge.sheet.job import Job
from procforge.sheet.kit import temporary
from procforge.sheet.outline import Block, Heading, ListTable, PageBreak, Paragraph, Turn
from procforge.sheet.seconds import glued
from procforge.sheet.sentences import position


def _kind(job: Job, energy: Energy) -> str:
    labels = job.labels
    return {"pressure-space": labels.pressure, "motion": labels.motion}.get(energy.kind, labels.stored_energy)


def devices(job: Job) -> list[str]:
    """What this sheet sets, locks or fits to hold energy off, in the order it does so."""
    found: dict[str, None] = {}
    for step, _ in job.steps():
        for ref in step.objects:
            kind = job.machine.kind(ref.name)
            holds = ref.name in job.machine.fed_by
            if step.verb in ("isolate", "lock") or (
                holds and step.verb in ("open", "shut", "switch-off") and kind != "supply"
            ):
                found[ref.name] = None
            blocks = holds or any(ref.name in e.blocked_by for e in job.machine.energies.values())
            if step.verb == "fit" and kind == "temporary" and blocks:
                found[ref.name] = None
    return list(found)


def energies_met(job: Job) -> list[str]:
    """The energies this sheet isolates, relieves, proves or opens; in the order the machine lists them."""
    used = {ref.name for step, _ in job.steps() for ref in step.objects}
    held = {e for d in devices(job) for e in job.machine.fed_by.get(d, ())}
    opened = {s for n in used for s in job.machine.closes(n)}
    return [n for n in job.machine.energies if n in used | held | opened]


def size(job: Job, energy: Energy) -> Prose:
    """How much there is: pressure, volume, fluid; what drives a motion; what the machine says of a stored energy."""
    parts: list[Prose] = []
    seconds = job.profile.seconds
    pressure, volume = pick(energy.pressure, job.variant), pick(energy.volume, job.variant)
    fluid = job.machine.fluid(energy.name)
    if pressure is not None:
        parts.append(glued("up to ", seconds.words(pressure)))
    if volume is not None:
        parts.append(seconds.words(volume))
    if fluid:
        parts.append(", ".join(word.replace("-", " ") for word in fluid))
    if energy.driver:
        parts.append(f"driven by {job.names.the(energy.driver)}")
    turned = [job.names.the(n) for n in energy.turned_by if n in job.machine.items]
    if turned:
        parts.append(f"can also be turned by {joined(turned, 'or')}")
    listed = [piece for part in parts for piece in ("; ", part)][1:]
    return glued(*listed) or " ".join(energy.prose) or job.labels.as_manual


def _relief(job: Job, energy: Energy) -> str:
    if energy.kind == "pressure-space":
        vents = job.machine.vents(energy.name)
        return "; ".join(_through(job, v) for v in vents)
    by = [job.names.the(n) for n in (*energy.relieved_by, *energy.blocked_by) if n in job.machine.items]
    return joined(by)


def _through(job: Job, vent: Vent) -> str:
    to = f" to {vent.to.replace('-', ' ')}" if vent.to else ""
    valve = job.names.the(vent.valve)
    return f"through {valve}" + (to if to not in valve else "")


def _proof(job: Job, energy: Energy) -> str:
    if energy.kind == "pressure-space":
        gauges = [job.names.the(g) for g in job.machine.gauges(energy.name)]
        return f"at {joined(gauges, 'or')}" if gauges else ""
    word = energy.proved_by.replace("-", " ")
    return {"try start": "by trying to start it"}.get(word, word)


def table(job: Job) -> list[Block]:
    """The energies of this variant, to be read before the work."""
    labels, used = job.labels, set(devices(job))
    rows: list[tuple[Cell, ...]] = []
    for name in energies_met(job):
        energy = job.machine.energies[name]
        held = _by_position(job, [d for feed in job.machine.feeds[name] for d in _chosen(feed, used)])
        rows.append(
            (
                f"{job.names.title(name, tag=True)}: {_kind(job, energy)}", size(job, energy), held or labels.held_by_nothing,
                upper_first(_relief(job, energy)), upper_first(_proof(job, energy)),
            )
        )  # fmt: skip
    if not rows:
        return [Paragraph(labels.no_energies)]
    return [
        ListTable(
            (labels.source_kind, labels.how_much, labels.held_off, labels.let_down, labels.proved),
            tuple(rows),
            widths=(1.5, 1.7, 2.4, 1.5, 1.3),
        )
    ]


def _chosen(feed: tuple[Scheme, ...], used: set[str]) -> list[str]:
    """The devices of the scheme this sheet uses: the one all of whose devices it sets, else the first."""
    if not feed:
        return []
    members = [[*s.blocks, *([s.bleed] if s.bleed else [])] for s in feed]
    return next((m for m in members if set(m) <= used), members[0])


def _by_position(job: Job, devices: list[str]) -> str:
    """`V-11, V-12 and V-13 shut; V-14 open`: by tag where there is one, the steps and the list give the names."""
    found: dict[str, dict[str, None]] = {}
    for name in devices:
        found.setdefault(_position(job, name), {})[job.names.tag(name) or job.names.plain(name)] = None
    return "; ".join(f"{joined(list(some))} {position}" for position, some in found.items())


def _position(job: Job, name: str) -> str:
    return "fitted" if job.machine.kind(name) == "temporary" else position("isolate", name, job.names)


def tear_off(job: Job) -> list[Block]:
    """The isolation and blind list on a page of its own: what holds what off, whose lock, and the proof."""
    labels, listed = job.labels, devices(job)
    if not listed:
        return []
    blinds = [n for n in temporary(job) if n not in listed]
    rows: list[tuple[Cell, ...]] = []
    for at, name in enumerate(listed, 1):
        held = [job.names.plain(e) for e in job.machine.fed_by.get(name, ())]
        held += [job.names.plain(n) for n, e in job.machine.energies.items() if name in e.blocked_by]
        rows.append(
            (
                str(at),
                job.names.tag(name),
                job.names.title(name),
                upper_first(_position(job, name)),
                joined(list(dict.fromkeys(held))),
                *_entries(job, name),
            )
        )
    for at, name in enumerate(blinds, len(listed) + 1):
        rows.append(
            (str(at), job.names.tag(name), job.names.title(name), labels.fitted, labels.job_only, *_entries(job, name))
        )
    out: list[Block] = [PageBreak(Turn.LANDSCAPE), Heading(job.labels.tear_off, 1, "", "isolation-list")]
    out.append(Paragraph(job.labels.tear_off_says))
    head = (
        "", labels.tag, labels.isolator, labels.stands, labels.holds_off, labels.lock, labels.on_by, labels.off_by,
    )  # fmt: skip
    out.append(
        ListTable(
            head,
            tuple(rows),
            labels.devices,
            widths=(0.35, 0.9, 2.4, 0.9, 2.4, 1.3, 1.7, 1.7),
        )
    )
    proofs: list[tuple[Cell, ...]] = []
    for name in energies_met(job):
        energy = job.machine.energies[name]
        made = (
            _blank(name, "reading", BlankKind.TEXT, labels.reading),
            _blank(name, "proved-by", BlankKind.SIGN, "Proved by"),
            _blank(name, "proved-at", BlankKind.TIME, "Time"),
        )
        proofs.append(
            (
                job.names.title(name, tag=True),
                glued(f"{_kind(job, energy)}; ", size(job, energy)),
                _relief(job, energy),
                _proof(job, energy),
                *made,
            )
        )
    out.append(
        ListTable(
            (
                labels.energy_source,
                labels.kind_size,
                labels.let_down,
                labels.proof,
                labels.reading,
                labels.by,
                labels.date_time,
            ),
            tuple(proofs),
            labels.proofs,
            widths=(1.9, 2.6, 1.9, 1.7, 1.2, 1.5, 1.2),
        )
    )
    return out


def _entries(job: Job, name: str) -> tuple[Blank, ...]:
    return (
        _blank(name, "lock", BlankKind.NUMBER, job.labels.lock), _blank(name, "on", BlankKind.SIGN, "On by"), _blank(name, "off", BlankKind.SIGN, "Off by"),
    )  # fmt: skip


def _blank(name: str, part: str, kind: BlankKind, label: str) -> Blank:
    return Blank(field_id("list", name, part), kind, label, required=False)
