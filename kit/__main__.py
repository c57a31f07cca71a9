"""The command line: `kit new`, `check`, `fix`, `plan`, `open`, `changes`, `search`, `what-if`,
`schema`.

Exit code 0: nothing fails. 1: a finding fails; for `kit fix`, even after the changes that were
found. 2: the input could not be read, or nothing can be built from it. `kit open` ends with the
code of the program that it starts. Errors are a sentence or two on stderr.
"""

import argparse
import io
import json
import os
import signal
import sys
import threading
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from shlex import quote
from types import FrameType

from kit.casework import Casework, build
from kit.checks import CAUTION, NOT_CHECKED, check
from kit.design_file import example_text, parse, read_text, schema, write
from kit.errors import BuildError, DesignFileError, KitError, OutputError
from kit.finding import Finding, Report, Status
from kit.plan_pack import Draft, Progress, findings_json, write_pack
from kit.title_block import Paper
from kit.units import Step, System, text

OK, FAILS, UNREADABLE, CANCELLED = 0, 1, 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a letter that it cannot write is told by number
            stream.reconfigure(errors="backslashreplace")
    parser = _parser()
    options, further = parser.parse_known_args(arguments)
    if options.run is _open:
        options.further = further
    elif further:
        parser.error(f"unrecognized arguments: {' '.join(further)}")
    with _interrupts() as interrupts:
        try:
            code = int(options.run(options))
            sys.stdout.flush()
            return code
        except (KeyboardInterrupt, Exception) as error:
            # Compiled libraries turn an interrupt that reaches them into errors of their own.
            if interrupts or isinstance(error, KeyboardInterrupt):
                print("kit: stopped; nothing was changed.", file=sys.stderr)
                return CANCELLED
            if isinstance(error, KitError):
                print(f"kit: {error}", file=sys.stderr)
                return UNREADABLE
            if not isinstance(error, OSError):
                raise
            # what is still to be printed has no place to go
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            if isinstance(error, BrokenPipeError):  # the reader has seen enough
                return OK
            what, why = error.filename or "What is said", error.strerror or error
            print(f"kit: {what} cannot be read or written: {why}.", file=sys.stderr)
            return UNREADABLE


@contextmanager
def _interrupts() -> Iterator[list[int]]:
    """The interrupts (Ctrl-C) that come in meanwhile; each still raises KeyboardInterrupt."""
    seen: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        seen.append(number)
        signal.default_int_handler(number, frame)

    if threading.current_thread() is not threading.main_thread():
        yield seen  # only the main thread may change how signals are handled
        return
    before = signal.signal(signal.SIGINT, note)
    try:
        yield seen
    finally:
        signal.signal(signal.SIGINT, before)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="kit", description="Design plywood casework, check it, and take it to the saw."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def command(name: str, run: object, words: str) -> argparse.ArgumentParser:
        sub = commands.add_parser(name, help=words, description=words)
        sub.set_defaults(run=run)
        return sub

    new = command("new", _new, "Write a commented design file to start from.")
    new.add_argument("file", metavar="FILE", help="the design file to write")
    checks = command("check", _check, "Say what is right and wrong with a design.")
    checks.add_argument("file", metavar="FILE", nargs="?", help="a design file; else the example")
    checks.add_argument("--all", action="store_true", help="tell what is right in full, too")
    checks.add_argument("--json", action="store_true", help="print the findings as JSON")
    mends = command(
        "fix",
        _fix,
        "Say what would make failing findings right: for each in turn the least change of the "
        "design that cures it and harms no other.",
    )
    mends.add_argument("file", metavar="FILE", help="a design file")
    mends.add_argument("check", metavar="CHECK", nargs="?", help="one check only, such as sag")
    mends.add_argument("subject", metavar="SUBJECT", nargs="?", help="of one thing only: shelf-1")
    mends.add_argument(
        "--thorough", action="store_true", help="prove it: try every setting; takes a minute or so"
    )
    mends.add_argument("--write", action="store_true", help="write the changes into FILE")
    plan = command("plan", _plan, "Write the plan pack: plans, model, lists, findings.")
    plan.add_argument("file", metavar="FILE", nargs="?", help="a design file; else the example")
    plan.add_argument("--out", metavar="DIR", required=True, help="folder of the pack")
    plan.add_argument("--units", choices=[s.value for s in System], help="in or mm")
    plan.add_argument(
        "--paper",
        choices=[p.value for p in Paper],
        help="paper of plan.pdf; else that of the design, else letter for in and a4 for mm",
    )
    opens = command(
        "open",
        _open,
        "Open the design desk of a design in JupyterLab. Further options, such as --no-browser "
        "or --port=8899, go to JupyterLab as they are.",
    )
    opens.add_argument("file", metavar="FILE", nargs="?", help="a design file; else the example")
    opens.add_argument("--app", action="store_true", help="as an app without code, by Voila")
    between = command("changes", _changes, "Say what changes from one design to the next.")
    between.add_argument("old", metavar="OLD", help="the design file as it was")
    between.add_argument("new", metavar="NEW", help="the design file as it is now")
    between.add_argument("--units", choices=[s.value for s in System], help="in or mm")
    between.add_argument("--csv", action="store_true", help="print the rows as CSV")
    finds = command(
        "search",
        _search,
        "Search designs for the best: the largest from the sheets on hand, the cheapest, ...",
    )
    finds.add_argument("file", metavar="FILE", help="the design file to start from")
    finds.add_argument(
        "--free",
        metavar="FIELD",
        action="append",
        default=[],
        help="what may change, such as 'case.width = 60 in .. 90 in by 1/2 in' or "
        "'case.stock = KEY | KEY'; once for each field",
    )
    finds.add_argument(
        "--goal",
        metavar="GOAL",
        action="append",
        default=[],
        help="largest, cheapest, least-waste, coolest or lightest; several give a front",
    )
    finds.add_argument(
        "--limit",
        metavar="LIMIT",
        action="append",
        default=[],
        help="at most so much: 'sheets = 2', 'sheets.KEY = 2', 'cost = 400', 'mass = 60 kg', "
        "'height = 24 in'; no failing check is always one",
    )
    finds.add_argument("--out", metavar="DIR", required=True, help="folder for what is found")
    finds.add_argument("--seed", type=int, default=1, help="another one looks in another order")
    finds.add_argument(
        "--most", type=int, metavar="N", help="judge so many of a very large number of candidates"
    )
    finds.add_argument(
        "--all", action="store_true", help="judge what others beat to the end, too, for the picture"
    )
    finds.add_argument("--workers", type=int, metavar="N", help="processes; else one a processor")
    finds.add_argument("--cluster", metavar="ADDRESS", help="the Dask scheduler that does the work")
    what_if = command("what-if", _what_if, "Hold named variants of a design against each other.")
    what_if.add_argument("file", metavar="FILE", help="a design file")
    what_if.add_argument(
        "--set",
        metavar="VARIANT",
        action="append",
        default=[],
        help="a variant, such as 'deeper: case.depth = 23 in; case.width = 80 in'",
    )
    what_if.add_argument("--csv", action="store_true", help="print the rows as CSV")
    command("schema", _schema, "Print the JSON Schema of design files, for editors.")
    return parser


def _new(options: argparse.Namespace) -> int:
    path = Path(options.file)
    if os.path.lexists(path):
        raise OutputError(f"{path} is there already and was left alone; choose another name.")
    write(path, example_text())
    print(f"Wrote {path}. Change its numbers, then run: kit check {path}")
    return OK


def _check(options: argparse.Namespace) -> int:
    casework, _ = _load(options.file)
    report = check(casework)
    if options.json:
        print(findings_json(report), end="")
    else:
        _tell(casework, report, everything=options.all)
        if report.failed and options.file:
            print(f"What would make it right: kit fix {quote(options.file)}")
    return FAILS if _sheets_are_short(casework) or report.failed else OK


def _sheets_are_short(casework: Casework) -> bool:
    """Whether a maker who counts the sheets on hand has too few; then it is told."""
    if all(sheet.count is None for sheet in casework.design.sheets):
        return False
    from kit.making.sheets import what_is_short  # the solvers of the sheet layouts are heavy

    if said := what_is_short(casework):
        print(f"kit: {said}", file=sys.stderr)
    return bool(said)


def _fix(options: argparse.Namespace) -> int:
    # the solvers of the sheet layouts are heavy
    from kit.fixes.in_turn import propose_in_turn, without_needless
    from kit.fixes.telling import to_text

    def wanted(finding: Finding) -> bool:
        return options.check in (None, finding.check) and (
            options.subject in (None, finding.subject)
        )

    def progress(finding: Finding) -> None:
        about = f"'{finding.check}' of {finding.subject}"
        print(f"kit: looking for what makes {about} right ...", file=sys.stderr)

    casework, before = _load(options.file)
    _refuse_unknown(check(casework), options.check, options.subject)
    proposals = []
    for found in propose_in_turn(before, wanted, thorough=options.thorough, progress=progress):
        print(_line(casework, found.finding), to_text(found), sep="\n")
        proposals.append(found)
    mended = without_needless(before, proposals)
    text, report = mended.text, mended.report
    for words in mended.taken_back:
        print(f"Taken back, as what came after it does without: {words}")
    asked = Report(tuple(filter(wanted, report)))
    if text == before:
        print(f"Nothing to change: {asked.tally}.")
    elif not options.write:
        print(f"{options.file} was left as it is; --write writes what is found into it.")
    elif read_text(options.file) != before:
        raise OutputError(f"{options.file} has changed meanwhile and was left alone; ask anew.")
    else:
        write(options.file, text)
        print(f"Wrote {options.file}. Now: {report.tally}.")
    return FAILS if _sheets_are_short(build(parse(text))) or asked.failed else OK


def _refuse_unknown(report: Report, name: str | None, subject: str | None) -> None:
    """Refuse a check, or a subject of it, that no finding of the design is about."""
    if name is None:
        return
    about = sorted({finding.subject for finding in report.about(name)})
    if not about:
        near = get_close_matches(name, {finding.check for finding in report}, n=1)
        hint = f"did you mean {near[0]!r}?" if near else "`kit check --all` tells them all."
        raise DesignFileError(f"No check of this design is named {name!r}; {hint}")
    if subject is not None and subject not in about:
        raise DesignFileError(
            f"{name!r} is not about {subject!r} in this design; it is about {', '.join(about)}."
        )


def _plan(options: argparse.Namespace) -> int:
    casework, design_text = _load(options.file)
    if options.units:
        shop = casework.design.shop.model_copy(update={"units": System(options.units)})
        casework = replace(casework, design=casework.design.model_copy(update={"shop": shop}))

    def progress(now: Progress) -> None:
        print(f"kit: {now.done + 1} of {now.of}: {now} ...", file=sys.stderr)

    paper = Paper(options.paper) if options.paper else None
    pack = write_pack(casework, design_text, options.out, progress=progress, paper=paper)
    _tell(casework, pack.report)
    if isinstance(pack.standing, Draft):
        print(f"DRAFT: {'; '.join(pack.standing.reasons)}")
    print(f"Wrote {len(pack.files)} files to {pack.folder}: {', '.join(pack.files)}")
    return FAILS if pack.report.failed else OK


def _open(options: argparse.Namespace) -> int:
    from kit.notebook.launch import Program, desk_notebook, launch  # the widgets are heavy

    file = Path(options.file) if options.file else None
    if file is not None and not file.exists():
        raise DesignFileError(
            f"{file} is not there; to write a design file to start from, run: kit new {file}"
        )
    _load(options.file)  # tells what is wrong with it before anything starts
    notebook = desk_notebook(file)
    program = Program.APP if options.app else Program.LAB
    print(f"kit: the design desk is {notebook}; Ctrl-C ends it.", file=sys.stderr)
    return launch(notebook, program, options.further)


def _changes(options: argparse.Namespace) -> int:
    from kit.making import changes  # the solvers of the sheet layouts are heavy
    from kit.making.sheets import sheet_plan

    (old, _), (new, _) = _load(options.old), _load(options.new)
    try:
        plans = (sheet_plan(old), sheet_plan(new))
    except BuildError as error:
        print(f"kit: sheets and labels are not compared: {error}", file=sys.stderr)
        plans = None
    units = System(options.units) if options.units else None
    report = changes.changes(old, new, system=units, plans=plans)
    print(changes.to_csv(report) if options.csv else changes.to_text(report), end="")
    return OK


def _search(options: argparse.Namespace) -> int:
    from kit import search  # the solvers of the sheet layouts are heavy
    from kit.draw.trade_offs import trade_offs_svg
    from kit.making.table_text import csv_text

    casework, design_text = _load(options.file)
    system = casework.design.shop.units
    wanted = search.Request(
        free=tuple(search.Free.read(words, system) for words in options.free),
        goals=tuple(search.Goal.read(words) for words in options.goal),
        limits=tuple(search.Limit.read(words) for words in options.limit),
        seed=options.seed,
        most=search.USUAL_MOST if options.most is None else options.most,
        depth=search.Depth.ALL if options.all else search.Depth.FRONT,
    )
    workers = search.processors() if options.workers is None else options.workers
    folder = Path(options.out)
    answers = folder / "answers.jsonl"
    if folder.exists() and not folder.is_dir():
        raise OutputError(f"{folder} is not a folder; choose another place for what is found.")
    print(f"kit: a grid of {wanted.size} candidates ...", file=sys.stderr)

    def progress(now: search.Progress) -> None:
        if now.done % 20 == 0 or now.done in (1, now.of):
            print(f"kit: {now} ...", file=sys.stderr)

    try:
        with search.on_cluster(options.cluster) if options.cluster else nullcontext():
            found = search.search(
                design_text,
                wanted,
                workers=None if options.cluster else workers,
                answers=answers,
                progress=progress,
            )
    except KeyboardInterrupt:
        if not answers.exists():
            raise
        words = f"kit: stopped; {answers} keeps what was judged, and the same command goes on."
        print(words, file=sys.stderr)
        return CANCELLED
    digits = max(2, len(str(len(found.front))))
    names = {row.number: f"{row.number:0{digits}d}.toml" for row in found.front}
    for row in found.front:
        write(folder / names[row.number], found.design_text(row))
    rows = zip(found.rows, found.table(found.rows), strict=True)
    table = [{"file": names.get(row.number, ""), **cells} for row, cells in rows]
    write(folder / "found.csv", csv_text(table))
    write(folder / "trade-offs.svg", trade_offs_svg(found))
    print(search.to_text(table[: len(names)]) or f"{found.in_the_way}\n", end="")
    print(found.tally)
    if not names and check(casework).failed:
        print(f"The design that it begins with fails as it is: kit fix {quote(options.file)}")
    print(f"Wrote {', '.join([*names.values(), 'found.csv', 'trade-offs.svg'])} to {folder}")
    earlier = {file.name for file in folder.glob("[0-9]*.toml")} - set(names.values())
    if earlier:
        print(f"There from an earlier search: {', '.join(sorted(earlier))}")
    return OK if names else FAILS


def _what_if(options: argparse.Namespace) -> int:
    from kit import search  # the solvers of the sheet layouts are heavy
    from kit.making.table_text import csv_text

    _, design_text = _load(options.file)
    rows = search.what_if(search.variants_of(design_text, options.set))
    table = search.what_if_table(rows)
    print(csv_text(table) if options.csv else search.to_text(table), end="")
    return FAILS if any(row.answer.refused or row.answer.fails for row in rows) else OK


def _schema(options: argparse.Namespace) -> int:
    print(json.dumps(schema(), indent=1))
    return OK


def _load(path: str | None) -> tuple[Casework, str]:
    """The casework of a file, or of the example, and the text it was read from."""
    design_text = read_text(path) if path is not None else example_text()
    return build(parse(design_text, path or "The example")), design_text


def _tell(casework: Casework, report: Report, *, everything: bool = False) -> None:
    """The piece in a line, the findings worst first, and what is right in short."""
    system = casework.design.shop.units
    sizes = " x ".join(text(value, system, step=Step.OVERALL) for value in casework.box.size)
    print(
        f"{casework.design.name}: {sizes} (W x D x H), {len(casework.boards)} boards, "
        f"{casework.mass_kg:.0f} kg"
    )
    for finding in report.worst_first():
        if everything or finding.status is not Status.OK:
            print(_line(casework, finding))
    right = Counter(finding.check for finding in report.having(Status.OK))
    if right and not everything:
        print("ok      " + ", ".join(f"{check} ({count})" for check, count in right.items()))
    print(report.tally)
    print(f"Not checked: {', '.join(NOT_CHECKED)}. {CAUTION}")


def _line(casework: Casework, finding: Finding) -> str:
    line = f"{finding.status.value.upper():8}{finding.check} ({finding.subject}): {finding.why}"
    if finding.required is None or finding.measured is None:
        return line
    measured = casework.value(finding.measured, finding.unit)
    required = casework.value(finding.required, finding.unit)
    return f"{line} [{measured}, {finding.sense.value} {required}]"


if __name__ == "__main__":
    sys.exit(main())
