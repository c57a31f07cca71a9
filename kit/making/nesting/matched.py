"""Matched sets: boards that must come from one sheet.

The solver knows no such rule. Where its free answer happens to keep the sets together, that is
the best there is; otherwise each set is laid out on a sheet of its own, or on one it can share
with another set, and all other boards go into what is left of those and onto further sheets.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from kit.errors import BuildError
from kit.making.nesting.cut_tree import cut_tree
from kit.making.nesting.jobs import (
    Bin,
    Job,
    Packing,
    Rung,
    Spot,
    ticks_down,
    ticks_up,
)
from kit.making.nesting.layout import Piece, Sheet
from kit.making.nesting.search import Runner
from kit.making.nesting.sheet_jobs import placements


@dataclass(frozen=True, slots=True)
class _Host:
    kind: int
    spots: tuple[Spot, ...]


def matched_sets(pieces: Sequence[Piece]) -> dict[str, list[int]]:
    """Return the numbers of the boards of each matched set of more than one board."""
    sets: dict[str, list[int]] = {}
    for index, piece in enumerate(pieces):
        if piece.match is not None:
            sets.setdefault(piece.match, []).append(index)
    return {name: members for name, members in sets.items() if len(members) > 1}


def keeps_sets(packing: Packing, pieces: Sequence[Piece]) -> bool:
    """Whether each matched set of the boards lies on one sheet of the packing."""
    where = {spot.item: number for number, (_, spots) in enumerate(packing) for spot in spots}
    return all(len({where[i] for i in m}) == 1 for m in matched_sets(pieces).values())


def pack_matched(
    job: Job,
    pieces: Sequence[Piece],
    sheets: Sequence[Sheet],
    kerf_mm: float,
    rungs: Sequence[Rung],
    run: Runner,
    solve: Callable[[Job], Packing | None],
) -> Packing | None:
    """Return a packing that keeps every matched set on one sheet, or None when none was found.

    Raises `BuildError` for a set that no single sheet holds.
    """
    hosts: list[_Host] = []
    used = [0] * len(job.bins)
    sets = sorted(
        matched_sets(pieces).items(),
        key=lambda pair: (-sum(pieces[i].area_mm2 for i in pair[1]), pair[0]),
    )
    for name, members in sets:
        for number, host in enumerate(hosts):
            shared = [s.item for s in host.spots] + members
            spots = _one_sheet(job, host.kind, shared, rungs, run)
            if spots is not None:
                hosts[number] = _Host(host.kind, spots)
                break
        else:
            host_or_none = _new_host(job, used, members, rungs, run)
            if host_or_none is None:
                raise BuildError(
                    f"Matched set '{name}' of {len(members)} boards fits on no single sheet; "
                    "match fewer boards, or add a larger sheet."
                )
            used[host_or_none.kind] += 1
            hosts.append(host_or_none)
    return _with_the_rest(job, pieces, sheets, kerf_mm, hosts, used, solve)


def _one_sheet(
    job: Job, kind: int, items: Sequence[int], rungs: Sequence[Rung], run: Runner
) -> tuple[Spot, ...] | None:
    bin_ = replace(job.bins[kind], copies=1)
    area = sum(job.items[i].length * job.items[i].width for i in items)
    if area > bin_.length * bin_.width:
        return None
    part = Job((bin_,), tuple(job.items[i] for i in items))
    for answer in run([(part, rung) for rung in rungs]):
        if answer is not None:
            return tuple(replace(s, item=items[s.item]) for s in answer[0][1])
    return None


def _new_host(
    job: Job, used: Sequence[int], items: Sequence[int], rungs: Sequence[Rung], run: Runner
) -> _Host | None:
    for kind in sorted(range(len(job.bins)), key=lambda k: job.bins[k].cost):
        if used[kind] < job.bins[kind].copies:
            spots = _one_sheet(job, kind, items, rungs, run)
            if spots is not None:
                return _Host(kind, spots)
    return None


def _with_the_rest(
    job: Job,
    pieces: Sequence[Piece],
    sheets: Sequence[Sheet],
    kerf_mm: float,
    hosts: Sequence[_Host],
    used: Sequence[int],
    solve: Callable[[Job], Packing | None],
) -> Packing | None:
    bins: list[Bin] = []
    origin: list[tuple[int, int, int]] = []  # host, x, y of a region; or -1, kind, 0
    for number, host in enumerate(hosts):
        sheet = sheets[host.kind]
        tree = cut_tree(sheet.usable, placements(host.spots, sheet, pieces), kerf_mm)
        if tree is None:
            return None
        for node in tree.walk():
            rect = node.rect
            if node.axis is not None or node.piece is not None:
                continue
            if any(rect.overlaps(defect) for defect in sheet.defects):
                continue
            length = ticks_down(rect.length_mm) + ticks_up(kerf_mm)
            width = ticks_down(rect.width_mm) + ticks_up(kerf_mm)
            bins.append(Bin(length, width, copies=1, cost=0.0))
            x = ticks_up(rect.x_mm - sheet.usable.x_mm)
            y = ticks_up(rect.y_mm - sheet.usable.y_mm)
            origin.append((number, x, y))
    for kind, bin_ in enumerate(job.bins):
        if bin_.copies > used[kind]:
            bins.append(replace(bin_, copies=bin_.copies - used[kind]))
            origin.append((-1, kind, 0))
    taken = {s.item for host in hosts for s in host.spots}
    rest = [i for i in range(len(job.items)) if i not in taken]
    answer: Packing | None = ()
    if rest:
        bins, origin = _worth_having(job, rest, bins, origin)
        answer = solve(Job(tuple(bins), tuple(job.items[i] for i in rest)))
    if answer is None:
        return None
    laid = [list(host.spots) for host in hosts]
    further: list[tuple[int, tuple[Spot, ...]]] = []
    for kind, spots in answer:
        host_number, x, y = origin[kind]
        named = [replace(s, item=rest[s.item]) for s in spots]
        if host_number < 0:
            further.append((x, tuple(named)))
        else:
            laid[host_number] += [replace(s, x=s.x + x, y=s.y + y) for s in named]
    return (
        *((host.kind, tuple(spots)) for host, spots in zip(hosts, laid, strict=True)),
        *further,
    )


def _worth_having(
    job: Job, rest: Sequence[int], bins: Sequence[Bin], origin: Sequence[tuple[int, int, int]]
) -> tuple[list[Bin], list[tuple[int, int, int]]]:
    """Leave out regions that hold not one of the boards: they would only slow the search."""
    items = [job.items[i] for i in rest]
    kept = [
        (bin_, where)
        for bin_, where in zip(bins, origin, strict=True)
        if any(
            (item.length <= bin_.length and item.width <= bin_.width)
            or (not item.locked and item.width <= bin_.length and item.length <= bin_.width)
            for item in items
        )
    ]
    return [bin_ for bin_, _ in kept], [where for _, where in kept]
