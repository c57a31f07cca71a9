"""What several commands share: reading a design, and telling what its checks found."""

from collections import Counter

from kit.casework import Casework, build
from kit.checks import CAUTION, NOT_CHECKED
from kit.checks.standing import stands
from kit.design_file import example_text, parse, read_text
from kit.finding import Finding, Report, Status
from kit.units import Step, text

#: Checks that are told though all is right: how much of the sheets is used.
TOLD = ("sheets on hand",)


def load(path: str | None) -> tuple[Casework, str]:
    """The casework of a file, or of the example, and the text it was read from."""
    design_text = read_text(path) if path is not None else example_text()
    return build(parse(design_text, path or "The example")), design_text


def tell(casework: Casework, report: Report, *, everything: bool = False) -> None:
    """The piece in a line, the findings worst first, and what is right in short."""
    system = casework.design.shop.units
    sizes = " x ".join(text(value, system, step=Step.OVERALL) for value in casework.box.size)
    print(
        f"{casework.design.name}: {sizes} (W x D x H), {len(casework.boards)} boards, "
        f"{casework.mass_kg:.0f} kg"
    )
    if said := stands(casework):
        print(said)
    right: Counter[str] = Counter()
    for finding in report.worst_first():
        if everything or finding.status is not Status.OK or finding.check in TOLD:
            print(line(casework, finding))
        else:
            right[finding.check] += 1
    if right:
        print("ok      " + ", ".join(f"{check} ({count})" for check, count in right.items()))
    print(report.tally)
    print(f"Not checked: {', '.join(NOT_CHECKED)}. {CAUTION}")


def line(casework: Casework, finding: Finding) -> str:
    """A finding in a line, with what was measured and what is required; one that follows from
    another is set in.
    """
    under = finding.under is not None
    status = f"{'  under it: ' * under}{finding.status.value.upper():7} "
    line = f"{status}{finding.check} ({finding.subject}): {finding.why if under else finding.told}"
    if finding.required is None or finding.measured is None:
        return line
    measured = casework.value(finding.measured, finding.unit)
    required = casework.value(finding.required, finding.unit)
    return f"{line} [{measured}, {finding.sense.value} {required}]"


def with_sheets(casework: Casework, report: Report) -> Report:
    """The report with whether the sheets on hand hold every board, where the maker counts them."""
    if all(sheet.count is None for sheet in casework.design.sheets):
        return report
    from kit.making.on_hand import check_on_hand  # the solvers of the sheet layouts are heavy

    return Report.of(report, check_on_hand(casework))
