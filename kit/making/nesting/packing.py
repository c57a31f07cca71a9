"""One bounded run of packingsolver's guillotine solver, in its whole numbers.

Pitfalls of the solver that this file keeps to itself (measured with 0.1.1233):

- its own kerf, trims and unlimited stages together raise internal errors, so the kerf is added
  to every board and to the usable sheet, and trims are taken off before;
- it answers in whole numbers: ticks, divided by what they have in common;
- with sheets of several costs (VariableSizedBinPacking) it runs to its time limit or answers
  nothing, so it is only asked to fill sheets in a given order, and the orders are tried by us;
- an answer that is not full is no answer, and internal errors come as plain exceptions.
"""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import packingsolver.rectangleguillotine as solver

from kit.making.nesting.blocks import expand, join
from kit.making.nesting.jobs import Item, Job, Method, Packing, Rung, Spot, Stages


def pack(job: Job, rung: Rung, limit_s: float) -> Packing | None:
    """Return bins that hold every item, or None when this rung finds none in time.

    The kinds of bins are filled in the order of the job, each as often as it has copies.
    """
    if rung.joining is None:
        return _pack_plain(job, rung, limit_s)
    joined, blocks = join(job, rung.joining)
    packing = _pack_plain(joined, rung, limit_s)
    return None if packing is None else expand(packing, blocks)


def _pack_plain(job: Job, rung: Rung, limit_s: float) -> Packing | None:
    scale = math.gcd(*_numbers(job)) or 1
    kinds = Counter(job.items)
    order = sorted(kinds, key=lambda item: (-item.length * item.width, item.length, item.locked))
    builder = solver.InstanceBuilder()
    shortest = rung.method is Method.SHORTEST
    builder.set_objective(
        solver.Objective.OpenDimensionX if shortest else solver.Objective.BinPacking
    )
    if rung.stages is Stages.FREE:
        builder.set_number_of_stages_unlimited()
    else:
        builder.set_number_of_stages(3)
    roadef = rung.stages is Stages.THREE_AND_TRIM
    builder.set_cut_type(solver.CutType.Roadef2018 if roadef else solver.CutType.NonExact)
    builder.set_first_stage_orientation(solver.CutOrientation.Any)
    builder.set_cut_through_defects(True)
    try:
        for bin_ in job.bins:
            number = builder.add_bin_type(
                bin_.length // scale, bin_.width // scale, copies=bin_.copies
            )
            for x, y, length, width in bin_.defects:
                builder.add_defect(number, x // scale, y // scale, length // scale, width // scale)
        for item in order:
            builder.add_item_type(
                item.length // scale,
                item.width // scale,
                oriented=item.locked,
                copies=kinds[item],
            )
        output = solver.optimize(builder.build(), _parameters(rung, limit_s))
        return _read(output.solution, job, order, scale)
    except (RuntimeError, ValueError, IndexError, MemoryError):
        return None  # an internal error of the solver: this rung has no answer


def _numbers(job: Job) -> list[int]:
    numbers = [n for item in job.items for n in (item.length, item.width)]
    for bin_ in job.bins:
        numbers += [bin_.length, bin_.width, *(n for defect in bin_.defects for n in defect)]
    return numbers


def _parameters(rung: Rung, limit_s: float) -> Any:
    parameters = solver.OptimizeParameters()
    parameters.optimization_mode = solver.OptimizationMode.NotAnytimeDeterministic
    parameters.time_limit = limit_s
    parameters.verbosity_level = 0
    parameters.messages_to_stdout = False
    if rung.method is not Method.VALUES:
        parameters.use_tree_search = True
        parameters.not_anytime_tree_search_queue_size = rung.queue
    else:
        parameters.use_sequential_value_correction = True
        parameters.not_anytime_sequential_value_correction_number_of_iterations = rung.iterations
        parameters.sequential_value_correction_subproblem_tree_search_queue_size = rung.queue
        parameters.sequential_value_correction_subproblem_tree_search_maximal_spaces_queue_size = (
            rung.queue
        )
    return parameters


def _read(solution: Any, job: Job, order: list[Item], scale: int) -> Packing | None:
    if solution.number_of_items() == 0 or not solution.full():
        return None
    waiting = {item: [i for i, other in enumerate(job.items) if other == item] for item in order}
    bins: list[tuple[int, tuple[Spot, ...]]] = []
    for number in range(solution.number_of_different_bins()):
        bin_ = solution.bin(number)
        for _ in range(bin_.copies):
            spots = []
            for node in bin_.nodes:
                if node.children or node.item_type_id < 0:
                    continue
                item = order[node.item_type_id]
                length = (node.r - node.l) * scale
                turned = length != item.length
                if not waiting[item] or length != (item.width if turned else item.length):
                    return None
                index = waiting[item].pop(0)
                spots.append(Spot(index, node.l * scale, node.b * scale, turned))
            if spots:
                bins.append((bin_.bin_type_id, tuple(spots)))
    return tuple(bins) if not any(waiting.values()) else None
