"""Printed sizes held against the solids, wherever they stand."""

import re
from collections.abc import Iterator, Sequence

from kit.board import Board, Size
from kit.errors import UnitError
from kit.making.labels import Label
from kit.making.sheets import Finish, finish_of
from kit.release.printed import PrintedSize, What
from kit.release.truth import Truth
from kit.release.words import NOISE, tick_mm
from kit.units import Step, length

STEPS = "steps.txt"

_FORMULA = re.compile(r"(?P<side>length|width) = (?P<what>.+?)(?: (?P<sign>[+-]) (?P<plus>\d.*))?")
_LENGTH = r"\d[\d/. ]*? (?:in|mm)"
_BOARD = r"\b(?P<mark>[A-Z]+) (?P<board>[a-z][a-z0-9-]*): "
_CUT = re.compile(rf"{_BOARD}(?P<W>{_LENGTH}) x (?P<L>{_LENGTH})")
_FITTED = re.compile(
    rf"{_BOARD}(?P<rule>(?P<side>length|width) = [^;]+); expected (?P<expected>{_LENGTH})"
    rf"(?:, cut {_LENGTH} less for its edging)?\. Its (?P<other>length|width): (?P<cut>{_LENGTH})"
)
_DIAGONAL = re.compile(
    rf"equal diagonals \((?P<words>{_LENGTH})(?:, as expected)?\): "
    r"(?P<boards>[A-Z]+ [a-z][a-z0-9-]*(?:, [A-Z]+ [a-z][a-z0-9-]*)*)"
)
_OF = {(what.state, what.side): what for what in What}


def compare_size(truth: Truth, printed: PrintedSize) -> Iterator[str]:
    """Why a printed size is not that of the solid; nothing where it is."""
    board = truth.casework.by_name.get(printed.board)
    if board is None:
        yield f"{printed.where}: there is no board {printed.board!r}"
        return
    what = printed.what
    mm: float = getattr(_size(truth, board, what), what.side)
    thick = what.side == "thickness"
    try:
        if not (truth.fine if thick else truth.size_agrees)(printed.words, mm):
            said = truth.say(mm, Step.CALIPER) if thick else truth.say_size(mm)
            yield (
                f"{printed.where}: {what.plain} of {truth.named(board)} says "
                f"{printed.words or 'nothing'}, and it measures {said}"
            )
    except UnitError as error:
        yield f"{printed.where}: {what.plain} of {truth.named(board)} cannot be read: {error}"


def fits(truth: Truth, board: Board, words: str) -> bool:
    """Whether this is the rule of a board that is cut to fit; empty for one that is not.

    It is that of the edition, and adds what the solid is larger than its opening by, to a tick.
    """
    fit = board.fit
    if words != truth.edition.boards[board.name].fit or fit is None:
        return not words and fit is None
    found = _FORMULA.fullmatch(words)
    if found is None or (found["side"], found["what"]) != (fit.side, fit.measure):
        return False
    size: float = getattr(truth.solid_size(board), fit.side)
    # an opening that is not solved has no number to hold the rule against but its own
    plus = size - truth.casework.openings.get(fit.opening, size - fit.plus)
    if found["plus"] is None:
        return abs(plus) < 0.05 + 1e-4  # less than that is not written
    said = length(f"{found['sign']}{found['plus']}")
    return abs(said - plus) < tick_mm(Step.JOINT, truth.system) + NOISE


def compare_labels(truth: Truth, labels: Sequence[Label]) -> Iterator[str]:
    """Why the labels are not those of the boards: one a board, its mark, name and cut size."""
    where = "labels"
    marks = [label.mark for label in labels]
    for board in truth.casework.boards:
        times = marks.count(truth.casework.marks[board.name])
        if times != 1:
            yield f"{where}: {truth.named(board)} has {times or 'no'} label{'s' * (times > 1)}"
    for label in labels:
        named = truth.casework.by_name.get(label.name)
        if named is None or truth.casework.marks[label.name] != label.mark:
            yield f"{where}: there is no board {label.mark} {label.name}"
            continue
        sizes = label.size.split(" x ")
        if len(sizes) != 3:
            yield f'{where}: size "{label.size}" of {truth.named(named)} cannot be read'
            continue
        for what, words in zip((What.CUT_T, What.CUT_W, What.CUT_L), sizes, strict=True):
            yield from compare_size(truth, PrintedSize(where, label.name, what, words))
        yield from _compare_rough(truth, named, label.rough)
        if not fits(truth, named, label.fit.removeprefix("cut to fit: ")):
            yield f"{where}: the rule of {truth.named(named)} says {label.fit or 'nothing'}"


def _compare_rough(truth: Truth, board: Board, words: str) -> Iterator[str]:
    """Whether a label says how its board comes off the sheet, where it gets its size later."""
    finish = finish_of(board, truth.casework.design.shop)
    if finish is Finish.GUIDE or not words:
        if bool(words) is (finish is Finish.GUIDE):
            said = "says a rough size" if words else "does not say its rough size"
            yield f"labels: {truth.named(board)} {said}"
        return
    if finish is Finish.TABLE_SAW:
        return
    sizes = words.removeprefix("off the sheet rough, ").removesuffix(", each layer").split(" x ")
    if len(sizes) != 2:
        yield f'labels: rough size "{words}" of {truth.named(board)} cannot be read'
        return
    for what, size in zip((What.ROUGH_W, What.ROUGH_L), sizes, strict=True):
        yield from compare_size(truth, PrintedSize("labels", board.name, what, size))


def compare_steps(truth: Truth, text: str) -> Iterator[str]:
    """Why the sizes in the steps are not those of the solids."""
    line = " ".join(text.split())
    for found in (*_CUT.finditer(line), *_FITTED.finditer(line)):
        board = truth.casework.by_name.get(found["board"])
        if board is None or truth.casework.marks[board.name] != found["mark"]:
            yield f"{STEPS}: there is no board {found['mark']} {found['board']}"
    for found in _CUT.finditer(line):
        for what, words in ((What.CUT_W, found["W"]), (What.CUT_L, found["L"])):
            if found["board"] in truth.casework.by_name:
                yield from compare_size(truth, PrintedSize(STEPS, found["board"], what, words))
    for found in _DIAGONAL.finditer(line):
        for named in found["boards"].split(", "):
            yield from compare_diagonal(truth, STEPS, named.split(" ")[1], found["words"])
    for found in _FITTED.finditer(line):
        board = truth.casework.by_name.get(found["board"])
        if board is None:
            continue
        if not fits(truth, board, found["rule"]):
            yield f"{STEPS}: the rule of {truth.named(board)} says {found['rule']}"
        for what, words in (
            (_OF["finished", found["side"]], found["expected"]),
            (_OF["cut", found["other"]], found["cut"]),
        ):
            yield from compare_size(truth, PrintedSize(STEPS, board.name, what, words))


def compare_diagonal(truth: Truth, where: str, name: str, words: str) -> Iterator[str]:
    """Why a printed diagonal is not that of a board that is cut as printed."""
    board = truth.casework.by_name.get(name)
    if board is None:
        yield f"{where}: there is no board {name!r}"
        return
    across = truth.diagonal(truth.cut(board))
    try:
        if not truth.agrees(words, across, Step.BOARD):
            said = truth.say(across, Step.BOARD)
            yield f"{where}: diagonal of {truth.named(board)} says {words}, and it measures {said}"
    except UnitError as error:
        yield f"{where}: diagonal of {truth.named(board)} cannot be read: {error}"


def _size(truth: Truth, board: Board, what: What) -> Size:
    sizes = {"finished": truth.finished, "cut": truth.cut, "rough": truth.rough}
    return sizes[what.state](board)
