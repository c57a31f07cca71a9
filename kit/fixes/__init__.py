"""What would make it right: for a failing finding, the least change that cures it.

    text, finding -> levers of its check -> settings that can be bought or set -> real checks

`cures` says as plain data which levers belong to which check, `knob` and `edits_of` what they can
be set to on a design, `trial` judges each change by the real checks, `search` finds the least.
Nothing here runs inside `kit.checks`: a proposal is made on request, in about a second or two.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from kit.casework import Casework, build
from kit.design_file import rewrite
from kit.edits.draft import Draft
from kit.errors import BuildError
from kit.finding import Finding, Report, Status
from kit.fixes.cures import CURES
from kit.fixes.edits_of import edit_knobs
from kit.fixes.knob import Knob, Setting, knobs_of
from kit.fixes.levers import Edit, Lever, Nothing
from kit.fixes.pairs import pair
from kit.fixes.scope import Scope, scope_of
from kit.fixes.search import Search, in_order
from kit.fixes.side_effects import changed_fields, side_effects
from kit.fixes.trial import Baseline, Trial
from kit.toml_text import Value
from kit.units import Step
from kit.units import text as text_of

#: No fix is looked for in a piece of more boards and cuts, or more devices, than these: every
#: design that is tried is judged by the real checks, which then take seconds.
MOST_PARTS, MOST_DEVICES = 500, 50
#: Two changes that differ by less than this share of what there was are equally large.
SAME_SIZE = 1e-6

__all__ = ["CURES", "Nothing", "Proposal", "levers_of", "propose"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What was found for a finding.

    `changes` are what to write at which paths of the design file, None to take something out;
    `changes` itself is None where no change was found. `text` is the changed design file and
    `report` what all the checks say of it; without a change both are those of the design as it
    is. `words` say the change, `side_effects` what else it does, and `nearest_miss` what comes
    nearest where there is none, or why no parameter can cure it. `tried` counts the designs that
    were looked at; `proved` says that every setting was tried that is a smaller change, or where
    none cures every one within reach: `reach` is how far each scale was turned. `two` says that it
    is two changes together, since none was found that cures alone; not every two are tried.
    """

    finding: Finding
    changes: Mapping[str, Value | None] | None
    words: str
    text: str
    report: Report
    side_effects: tuple[str, ...]
    tried: int
    nearest_miss: str = ""
    reach: tuple[str, ...] = ()
    proved: bool = False
    two: bool = False


def refuse_too_large(casework: Casework) -> None:
    """Raise BuildError for a piece of which each trial would take seconds."""
    parts = len(casework.boards) + sum(len(board.features) for board in casework.boards)
    for count, most, what in (
        (parts, MOST_PARTS, "boards and cuts"),
        (len(casework.gear), MOST_DEVICES, "devices"),
    ):
        if count > most:
            raise BuildError(
                f"No fix is looked for in a piece of {count} {what}: {most} is the most. Divide it "
                "into two designs, or change by hand what the finding says."
            )


def levers_of(check: str) -> tuple[Lever, ...] | Nothing:
    """The levers of a check by its name; or why no parameter of the design cures it."""
    return CURES.get(check, Nothing("The kit knows no parameter of the design for this check."))


def propose(
    text: str,
    finding: Finding,
    *,
    until: Status = Status.WATCH,
    thorough: bool = False,
    cancelled: Callable[[], bool] | None = None,
) -> Proposal:
    """The least change of a design that cures one of its failing findings and harms no other.

    `text` is the design file that the finding comes from. Cured is a finding that is gone, or at
    least as good as `until`; with Status.OK nothing is left to be watched. Least is the change of
    the smallest share of what there was, one that is no number counting as the whole of it, and
    one of the size of the case `OF_THE_CASE` times; of these the one of fewest fields, of these
    the one with the fewest side effects. What is fixed in the design, and the room but for what is
    free, stays: where only the room could give way, that is told. Where none is found alone, two
    are sought together (`pairs`). `thorough` tries every setting of every lever, and so proves that
    none within their reach cures alone; else ranges are bracketed and sampled. Raises
    DesignFileError and BuildError for a text that is no design, BuildError for a finding that does
    not fail in it and for a piece that is too large to try changes on, and CancelledError when
    `cancelled` says so.
    """
    draft = Draft.of(text)
    refuse_too_large(build(draft.design))
    baseline = Baseline(text, finding, until)
    levers = levers_of(finding.check)
    if isinstance(levers, Nothing):
        return _none(finding, text, baseline.report, levers.reason, proved=True)
    search = Search(text, baseline, cancelled)
    knobs = _knobs(draft, finding)
    found = _least_of(search, (knob for knob in knobs if not knob.of_room), thorough)
    if not found and draft.design.fixed.free:  # the piece gives way before the room
        found = _least_of(search, (knob for knob in knobs if knob.of_room), thorough)
    two = not found
    if two and (both := pair(search, finding, knobs, _knobs)) is not None:
        found = [both]
    if not found:
        reach = tuple(knob.settings[-1].words for knob in knobs if knob.ordered)
        miss = _in_the_room(text, finding, until, knobs, cancelled) or _nearest(search)
        return _none(
            finding, text, baseline.report, miss, tried=search.tried, reach=reach, proved=thorough
        )
    least = min(setting.size for setting in found) + SAME_SIZE
    fields = {
        setting: len(changed_fields(text, setting.edited(text)))
        for setting in found
        if setting.size <= least
    }
    fewest = min(fields.values())
    told = []
    for setting in (setting for setting, count in fields.items() if count == fewest):
        trial = search.trial(setting)
        assert trial is not None  # it was judged, and works
        told.append((_effects(baseline, trial, cancelled), setting, trial))
    effects, setting, trial = min(told, key=lambda one: len(one[0]))
    changed = setting.edited(text)
    return Proposal(
        finding=finding,
        changes=changed_fields(text, changed),
        words=setting.words,
        text=changed,
        report=baseline.report_of(trial),
        side_effects=effects,
        tried=search.tried,
        proved=thorough,
        two=two,
    )


def _knobs(draft: Draft, finding: Finding) -> list[Knob]:
    """What can be turned for a finding on a design, in the order in which it is tried."""
    levers = levers_of(finding.check)
    if isinstance(levers, Nothing):
        return []
    return in_order(_of_levers(draft, scope_of(draft.casework, finding), finding, levers))


def _of_levers(
    draft: Draft, scope: Scope, finding: Finding, levers: tuple[Lever, ...]
) -> Iterator[Knob]:
    """The change that the check itself has tried first, then every lever; numbers before edits."""
    if finding.fix is not None and not finding.fix.parameter.startswith("divider."):
        path, said = finding.fix.parameter, finding.fix.value
        value: Value = {"true": True, "false": False}.get(said, said)
        value = int(said) if said.isdigit() else value
        one = Setting(f"{path} = {said}", 1.0, lambda text: rewrite(text, {path: value}))
        yield Knob(path, [one], ordered=False)
    for lever in levers:
        if not isinstance(lever, Edit):
            yield from knobs_of(draft, scope, lever)
    for lever in levers:
        if isinstance(lever, Edit):
            yield from edit_knobs(draft, scope, finding, lever)


def _least_of(search: Search, knobs: Iterable[Knob], thorough: bool) -> list[Setting]:
    """The settings that work, of each knob the least, none larger than the one before."""
    found: list[Setting] = []
    for knob in knobs:
        within = min((setting.size for setting in found), default=inf) + SAME_SIZE
        tried = search.least(knob, within=within, thorough=thorough)
        if tried is not None:
            found.append(tried.setting)
    return found


def _in_the_room(
    text: str,
    finding: Finding,
    until: Status,
    knobs: Sequence[Knob],
    cancelled: Callable[[], bool] | None,
) -> str:
    """What of the room would cure it, if that gave way; empty where nothing would."""
    of_room = [knob for knob in knobs if knob.of_room]
    if not of_room:
        return ""
    search = Search(text, Baseline(text, finding, until, room_gives_way=True), cancelled)
    found = _least_of(search, of_room, False)
    if not found:
        return ""
    least = min(found, key=lambda setting: setting.size)
    paths = ", ".join(f'"{path}"' for path in changed_fields(text, least.edited(text)))
    return (
        f"No change of the piece does, but {least.words} would. The room stays as it is: where it "
        f"may give way, write [fixed] free = [{paths}]."
    )


def _effects(
    baseline: Baseline, trial: Trial, cancelled: Callable[[], bool] | None
) -> tuple[str, ...]:
    reports = (baseline.report, baseline.report_of(trial))
    return side_effects(baseline.casework, trial.casework, reports, baseline.key, cancelled)


def _none(
    finding: Finding,
    text: str,
    report: Report,
    miss: str,
    *,
    tried: int = 0,
    reach: tuple[str, ...] = (),
    proved: bool,
) -> Proposal:
    return Proposal(
        finding=finding,
        changes=None,
        words="",
        text=text,
        report=report,
        side_effects=(),
        tried=tried,
        nearest_miss=miss,
        reach=reach,
        proved=proved,
    )


def _nearest(search: Search) -> str:
    """What comes nearest to a fix, in words."""
    baseline = search.baseline
    if search.harmful is not None:
        harm = search.harmful.harm
        assert harm is not None
        return (
            f"{search.harmful.setting.words} would cure it, but then '{harm.check}' of "
            f"{harm.subject} is {'not known' if harm.measured is None else 'no longer kept'}: "
            f"{harm.why}"
        )
    if search.nearest is not None:
        target = search.nearest.target
        words = search.nearest.setting.words
        if target is not None and target.status is Status.UNKNOWN:
            return f"{words} keeps what is known of it; the rest has to be found out: {target.why}"
        if target is not None and target.margin is not None:
            short = -target.margin
            if -short > baseline.target_before + 1e-9:
                lacks = (
                    text_of(short, baseline.casework.design.shop.units, step=Step.FINE)
                    if target.unit == "mm"
                    else baseline.casework.value(short, target.unit)
                )
                return f"{words} comes nearest, and is {lacks} short."
    return "No lever of this check brings it any nearer."
