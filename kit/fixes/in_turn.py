"""All failing findings of a design, mended one after the other."""

from collections.abc import Callable, Iterator

from kit.casework import build
from kit.checks import check
from kit.design_file import parse
from kit.finding import Finding, Status
from kit.fixes import Proposal, propose


def propose_in_turn(
    text: str,
    wanted: Callable[[Finding], bool] = lambda finding: True,
    *,
    thorough: bool = False,
    progress: Callable[[Finding], None] = lambda finding: None,
) -> Iterator[Proposal]:
    """A proposal for each failing finding that is `wanted`, in the order of the checks.

    Each is made for the design as the one before leaves it, `Proposal.text`: one change often
    cures several findings, which are then not asked for. `progress` is told each finding before
    its search begins. Raises what `propose` raises.
    """
    report, asked = check(build(parse(text))), set[tuple[str, str]]()
    while todo := [
        finding
        for finding in report.having(Status.FAIL)
        if wanted(finding) and (finding.check, finding.subject) not in asked
    ]:
        finding = todo[0]
        asked.add((finding.check, finding.subject))
        progress(finding)
        proposal = propose(text, finding, thorough=thorough)
        text, report = proposal.text, proposal.report
        yield proposal
