"""Is every sheet measured, and are the sheets of one kind alike?"""

from collections.abc import Iterator

from kit.casework import Casework
from kit.finding import Finding, Sense, judge

#: Greatest spread that a glued dado cut for the thickest sheet still forgives, mm.
SPREAD = 0.5


def check_thickness(casework: Casework) -> Iterator[Finding]:
    """The spread of the caliper readings of each stock; unknown where there are none."""
    for stock in casework.stocks:
        boards = tuple(b.name for b in casework.boards if b.stock == stock)
        if stock.measured:
            why = (
                f"It measures {casework.say(stock.thickness_min_mm)} to "
                f"{casework.say(stock.thickness_max_mm)}; "
                "joints follow the thickest, and the thinnest is loose by the spread."
            )
        else:
            why = (
                f"It was not measured; {casework.say(stock.thickness_mm)} is only typical. Measure "
                "each sheet at both ends and write the readings under "
                f'[measured.thickness] "{stock.key}".'
            )
        yield judge(
            "sheet thickness",
            stock.label,
            stock.thickness_max_mm - stock.thickness_min_mm if stock.measured else None,
            SPREAD,
            sense=Sense.AT_MOST,
            unit="mm",
            watch=0.1,
            why=why,
            source="builders-accounts",
            boards=boards,
        )
