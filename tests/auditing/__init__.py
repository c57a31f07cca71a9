"""The audit of the whole chain: cut list = solids = drawings = DXF = sheets = labels.

    disagreements(casework, folder)     writes the packs of a design, in both systems of units,
                                        and says in sentences what is not the same everywhere
    audited(pack)                       the same of one pack that is written

Every number is read back from the file that was written, by readers of the audit's own, and
held against the solids of the STEP file and against the other files. The release gate, which
asks more finely of fewer files, is asked too.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

from auditing import buying, drawings, lists, machine, masses, sheets
from auditing.writing import Pack, write_packs

from kit.casework import Casework

#: What is asked of every pack, and of one whose boards all fit a sheet.
ALWAYS: tuple[Callable[[Pack], Iterator[str]], ...] = (
    lists.cut_list,
    lists.set_ups,
    drawings.drawings,
    machine.dxf,
    buying.buying,
    masses.masses,
)
LAID_OUT: tuple[Callable[[Pack], Iterator[str]], ...] = (sheets.sheets, lists.labels)


def disagreements(casework: Casework, folder: Path) -> list[str]:
    """What does not agree in the packs of a design, written into an empty folder."""
    return [
        f"[{pack.system.value}] {problem}"
        for pack in write_packs(casework, folder)
        for problem in audited(pack)
    ]


def audited(pack: Pack) -> Iterator[str]:
    """What does not agree in one pack."""
    for reason in pack.reasons:
        if not reason.endswith("is not measured"):
            yield f"gate: {reason}"
    for ask in ALWAYS:
        yield from ask(pack)
    if pack.laid_out:
        for ask in LAID_OUT:
            yield from ask(pack)
