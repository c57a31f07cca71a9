"""The steps from the sheet to boards that fit: measuring, cutting, machining, dry-fitting."""

from collections.abc import Iterator, Sequence

from kit.board import Board
from kit.making.buy_list.row import GLUE
from kit.making.set_ups import set_up_sheet
from kit.making.sheets import Finish, finish_of
from kit.making.steps.step import BLADES, DUST, LIFT, Phase, Step, step
from kit.making.steps.words import LIPPING_OVER, Words, is_lipping
from kit.materials import lumber


def measure_sheets(w: Words) -> Step:
    """Every sheet by caliper, before anything is cut; solid wood is planed to measure later."""
    sheets = [stock for stock in w.casework.stocks if stock.sheet_sizes]
    lines = ["Measure each sheet with a caliper at both ends and both edges, and label it."]
    for stock in sheets:
        if stock.measured:
            lines.append(
                f"{stock.label}: the joints are for {w.exactly(stock.thickness_min_mm)} to "
                f"{w.exactly(stock.thickness_max_mm)}; a sheet outside that changes them."
            )
        else:
            lines.append(
                f"{stock.label}: not measured yet, {w.exactly(stock.thickness_mm)} is only "
                f'typical. Write the readings under [measured.thickness] "{stock.key}" and '
                "print the plan again before any joint is cut."
            )
    stocks = dict.fromkeys(stock.key for stock in w.casework.stocks)
    return step(
        Phase.SHEETS,
        "Measure and label the sheets",
        lines,
        items=stocks,
        cautions=[LIFT],
        gate=not all(stock.measured for stock in sheets),
    )


def break_down(w: Words) -> Step:
    """Sheets and lumber into boards; what is cut to fit stays rough."""
    to_fit = [board for board in w.casework.boards if board.fit is not None]
    layered = [board for board in w.casework.boards if board.layers > 1]
    saw = w.casework.design.shop.sheet_saw
    lines = [
        f"Break the sheets down with the {saw.label} ({w.exactly(saw.kerf_mm)} kerf), good "
        f"face {saw.good_face.value}, in the order of the sheet layout; mark each board with "
        "its letter as it comes off, and its show face.",
    ]
    lines += _lumber(w)
    if layered:
        lines.append(f"Cut every layer at its rough size: {w.named(layered)}.")
    table = w.casework.design.shop.table_saw
    if table is not None and (over := _for_table_saw(w)):
        lines.append(
            f"Cut {w.say(table.allowance)} over each way, for the table saw: {w.named(over)}."
        )
    for side in ("length", "width"):
        rough = [board for board in to_fit if board.fit and board.fit.side == side]
        if rough:
            lines.append(
                f"Leave rough in {side}: {w.named(rough)}. They are cut to fit what has been "
                "built, not to the cut list."
            )
    return step(
        Phase.ROUGH,
        "Break down sheets and lumber" if any(_lumber(w)) else "Break down the sheets",
        lines,
        boards=w.casework.boards,
        cautions=[BLADES, DUST, LIFT],
    )


def _for_table_saw(w: Words) -> list[Board]:
    """Boards that get their final size at the table saw."""
    shop = w.casework.design.shop
    return [b for b in w.casework.boards if finish_of(b, shop) is Finish.TABLE_SAW]


def _lumber(w: Words) -> Iterator[str]:
    """Solid wood into boards, stock by stock; nothing where there is none."""
    for stock in w.casework.stocks:
        if stock.sheet_sizes:
            continue
        boards = [board for board in w.casework.boards if board.stock == stock]
        yield (
            f"{stock.label}: joint one face and one edge, plane it to "
            f"{w.exactly(stock.thickness_mm)}, then rip and crosscut as laid out: "
            f"{w.named(boards)}."
        )
        wide = [board for board in boards if board.rough.width > lumber(stock.key).width_max_mm]
        if wide:
            yield (
                f"Wider than it is sold, so glue strips edge to edge and plane them after: "
                f"{w.named(wide)}."
            )
        lippings = [board for board in boards if is_lipping(board)]
        if lippings:
            yield (
                f"Rip lippings {w.say(LIPPING_OVER)} higher than laid out, to be trimmed flush: "
                f"{w.named(lippings)}."
            )


def laminate(w: Words) -> Iterator[Step]:
    """The layers of laminated boards glued; nothing where there are none."""
    layered = [board for board in w.casework.boards if board.layers > 1]
    if layered:
        yield step(
            Phase.LAMINATE,
            "Glue up the laminated boards",
            [
                f"Glue the layers face to face, show faces outside: "
                f"{', '.join(f'{board.name} ({board.layers} layers)' for board in layered)}.",
                "Keep them from slipping by brads or screws in the waste of the rim; "
                f"clamp {w.clamped()} on a flat surface.",
                "They are trimmed flush on all sides only when the glue is hard.",
            ],
            boards=layered,
            items=[GLUE],
        )


def final_cuts(w: Words, whole: Sequence[Board]) -> Step:
    """The boards at the sizes of the cut list: cut where some was left on, else only checked."""
    shop = w.casework.design.shop
    spare = [board for board in whole if finish_of(board, shop) is not Finish.GUIDE]
    done = [board for board in whole if board not in spare]
    lines = []
    if spare:
        lines.append(
            "Equal boards at one setting of the fence. Width x length as cut, less edging:"
        )
        lines += [_sized(w, board) for board in spare]
    if done:
        lines.append(
            "At their final size off the saw: measure these, and do not cut them again. Width x "
            "less edging:"
        )
        lines += [_sized(w, board) for board in done]
    return step(
        Phase.FINAL,
        "Cut to final width and length" if spare else "Check the sizes of the boards",
        [*lines, *w.diagonals(whole)],
        boards=whole,
        cautions=[BLADES, DUST] if spare else [],
    )


def _sized(w: Words, board: Board) -> str:
    trimmed = ", trimmed flush from the laminated blank" if board.layers > 1 else ""
    return f"{w.named([board])}: {w.printed.size(board.cut)}{trimmed}"


def edge(w: Words, boards: Sequence[Board]) -> Iterator[Step]:
    """Edging on boards that are at their size; nothing where there is none."""
    edged = [board for board in boards if board.edging and board.edged]
    if edged:
        yield step(
            Phase.EDGING,
            "Put on the edging",
            [*w.edging(edged), "Trim it flush; every later measure is from the edging."],
            boards=edged,
            items=_edging_keys(edged),
        )


def machine(w: Words, boards: Sequence[Board], what: str) -> Iterator[Step]:
    """The settings of the set-up sheet that these boards want; nothing where none."""
    names = {board.name for board in boards}
    found = [setting for setting in set_up_sheet(w.casework) if names & set(setting.boards)]
    if not found:
        return
    lines = ["In the order of the set-up sheet, each after a test cut in scrap:"]
    for setting in found:
        worked = [w.casework.by_name[name] for name in setting.boards if name in names]
        lines.append(
            f"setting {setting.number}, {setting.operation.value}"
            f"{' (door track)' if setting.cuts_track else ''}: {w.named(worked)}"
        )
    worked_on = [
        board for board in boards if any(board.name in setting.boards for setting in found)
    ]
    yield step(
        Phase.MACHINE,
        f"Machine {what}",
        lines,
        boards=worked_on,
        settings=[setting.number for setting in found],
        cautions=[BLADES, DUST],
    )


def dry_fit(w: Words, boards: Sequence[Board], title: str) -> Step:
    """A gate: everything together without glue, and square."""
    return step(
        Phase.DRY_FIT,
        title,
        [
            "Clamp it together without glue, on a flat surface; each joint must close by hand.",
            w.square(),
            "Do not go on until it does; correct a joint now, not in the glue.",
        ],
        boards=boards,
        gate=True,
    )


def fit(w: Words, boards: Sequence[Board], what: str, where: str) -> Iterator[Step]:
    """Boards cut to fit what has been measured, then edged and machined."""
    lines = [f"Measure {where}, not the drawing; then cut:"]
    lines += [w.measure_back(board) for board in boards if board.fit]
    edged = [board for board in boards if board.edging and board.edged]
    if edged:
        lines += w.edging(edged)
    yield step(
        Phase.FIT,
        f"Measure back and cut {what} to fit",
        [*lines, *w.diagonals(boards)],
        boards=boards,
        items=_edging_keys(edged),
        cautions=[BLADES, DUST],
    )
    yield from machine(w, boards, what)


def _edging_keys(boards: Sequence[Board]) -> list[str]:
    return [board.edging.key for board in boards if board.edging]
