"""The audit of the whole chain: cut list = solids = drawings = DXF = sheets = labels.

    write_packs(casework, folder)   the files of a pack, in each system of units
    disagreements(packs)            sentences that say what is not the same everywhere

Every number is read back from the file that was written, by readers of the audit's own, and
held against the solids of the STEP file and against the other files. The release gate, which
asks more finely of fewer files, is asked too.
"""

from collections.abc import Callable, Iterable, Iterator

from auditing import buying, drawings, lists, machine, masses, sheets
from auditing.writing import Pack

#: What is asked of every pack, and of one whose boards all fit a sheet.
ALWAYS: tuple[Callable[[Pack], Iterator[str]], ...] = (
    lists.cut_list,
    lists.set_ups,
    lists.units,
    drawings.drawings,
    machine.dxf,
    buying.buying,
    masses.masses,
)
LAID_OUT: tuple[Callable[[Pack], Iterator[str]], ...] = (sheets.sheets, lists.labels)


def disagreements(packs: Iterable[Pack]) -> list[str]:
    """What does not agree in the packs of a design, one for each system of units."""
    return [f"[{pack.system.value}] {problem}" for pack in packs for problem in audited(pack)]


def audited(pack: Pack) -> Iterator[str]:
    """What does not agree in one pack."""
    for reason in pack.reasons:
        if not reason.endswith("is not measured"):
            yield f"gate: {reason}"
    for ask in (*ALWAYS, *(LAID_OUT if pack.laid_out else ())):
        try:
            yield from ask(pack)
        except (LookupError, ValueError) as error:
            yield f"{ask.__name__}: cannot be read on from here: {error!r}"
