"""A procedure with one statement taken out, the rest of the tree shared."""

from __future__ import annotations

from procforge.model.procedure import AnyWork, Ask, Group, Procedure, Repeat, When


def without(procedure: Procedure, gone: AnyWork) -> Procedure:
    """The procedure without a statement, told by its identity."""
    return procedure.but(body=_body(procedure.body, gone))


def _body(body: tuple[AnyWork, ...], gone: AnyWork) -> tuple[AnyWork, ...]:
    made = tuple(_one(work, gone) for work in body if work is not gone)
    same = len(made) == len(body) and all(a is b for a, b in zip(made, body, strict=True))
    return body if same else made


def _one(work: AnyWork, gone: AnyWork) -> AnyWork:
    """The statement with its bodies cleared; itself where nothing in it changes."""
    match work:
        case Group():
            lanes = tuple(_body(lane, gone) for lane in work.lanes)
            return work if all(a is b for a, b in zip(lanes, work.lanes, strict=True)) else work.but(lanes=lanes)
        case Ask():
            yes, no = _body(work.yes, gone), _body(work.no, gone)
            return work if yes is work.yes and no is work.no else work.but(yes=yes, no=no)
        case When():
            body, other = _body(work.body, gone), _body(work.otherwise, gone)
            return work if body is work.body and other is work.otherwise else work.but(body=body, otherwise=other)
        case Repeat():
            body = _body(work.body, gone)
            last = None if work.otherwise is None else _body(work.otherwise, gone)
            return work if body is work.body and last is work.otherwise else work.but(body=body, otherwise=last)
    return work
