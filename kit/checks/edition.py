"""Do the boards still fit each other when they are cut to the sizes as printed?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.edition import edition
from kit.finding import Finding, Sense, judge
from kit.units import MM_PER_INCH, Step, System, slight

NAMES = {System.INCH: "inch edition", System.METRIC: "metric edition"}


def check_edition(casework: Casework) -> Iterator[Finding]:
    """One finding: the sizes that are not printed to the nearest tick, and the largest residue.

    Measured is what the worst of them lacks beyond what its board may gain or lose: nought,
    unless no tick of the rule holds it; such a board has to be cut to fit.
    """
    system = casework.design.shop.units
    printed = edition(casework, system)
    unit_mm = MM_PER_INCH if system is System.INCH else 1.0
    finest = float(Step.FINE.tick(system)) * unit_mm
    (name, side), residue = max(printed.residues.items(), key=lambda item: abs(item[1]))
    why = (
        f"Cut sizes are printed to {_tick(system)}; the largest residue is "
        f"{slight(abs(residue), system)}, in the {side.name.lower()} of {name}."
    )
    if printed.refusals:
        told = "; ".join(
            f"{r.board} {r.side.name.lower()} {r.printed} and not {r.nearest} ({r.why})"
            for r in printed.refusals
        )
        why += f" Not to the nearest tick, so that they fit: {told}."
    yield judge(
        "sizes as printed",
        NAMES[system],
        max((r.over for r in printed.refusals), default=0.0),
        finest,
        sense=Sense.AT_MOST,
        unit="mm",
        watch=finest,
        why=why,
        assumes="boards marked 'cut to fit' are measured, not cut to the list",
        source="common-practice",
        boards=tuple(dict.fromkeys(r.board for r in printed.refusals if r.over > 0)),
    )


def _tick(system: System) -> str:
    return f"{Step.BOARD.tick(system)} in" if system is System.INCH else "0.5 mm"
