"""What may be typed after `kit`; loads next to nothing, so that help comes at once."""

import argparse
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any

from kit.paper import Paper
from kit.units import System


class _Version(argparse.Action):
    """Prints the version; it is looked up only then."""

    def __call__(self, parser: argparse.ArgumentParser, *said: Any) -> None:
        from importlib.metadata import version  # a twentieth of a second

        print(f"kit {version('casework-kit')}")
        parser.exit()


def read(arguments: Sequence[str] | None = None) -> argparse.Namespace | None:
    """The options of one command, its name as `command`; None for a bare `kit`, which gets help.

    Ends the process (SystemExit) after `--help` and `--version`, with 0, and where something is
    mistyped, with 2 and what was probably meant.
    """
    words = sys.argv[1:] if arguments is None else list(arguments)
    parser, commands = _parser()
    if not words:
        parser.print_help()
        return None
    if words[0] not in commands and not words[0].startswith("-"):
        near = get_close_matches(words[0], commands, n=1)
        hint = f"did you mean {near[0]!r}?" if near else "`kit --help` lists those there are."
        parser.error(f"there is no command {words[0]!r}; {hint}")
    return parser.parse_args(words)


def _parser() -> tuple[argparse.ArgumentParser, Sequence[str]]:
    """The parser of the command line, and the names of the commands."""
    parser = argparse.ArgumentParser(
        prog="kit", description="Design plywood casework, check it, and take it to the saw."
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and exit")
    commands = parser.add_subparsers(required=True, metavar="COMMAND", dest="command")

    def command(name: str, words: str) -> argparse.ArgumentParser:
        return commands.add_parser(name, help=words, description=words)

    new = command("new", "Write a commented design file to start from.")
    new.add_argument("file", metavar="FILE", help="the design file to write")
    checks = command("check", "Say what is right and wrong with a design.")
    checks.add_argument("file", metavar="FILE", nargs="?", help="a design file; else the example")
    checks.add_argument("--all", action="store_true", help="tell what is right in full, too")
    checks.add_argument("--json", action="store_true", help="print the findings as JSON")
    mends = command(
        "fix",
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
    plan = command("plan", "Write the plan pack: plans, model, lists, findings.")
    plan.add_argument("file", metavar="FILE", nargs="?", help="a design file; else the example")
    plan.add_argument("--out", metavar="DIR", required=True, help="folder of the pack")
    plan.add_argument("--units", choices=[s.value for s in System], help="in or mm")
    plan.add_argument(
        "--paper",
        choices=[p.value for p in Paper],
        help="paper of plan.pdf; else that of the design, else letter for in and a4 for mm",
    )
    opens = command("open", "Open the design desk of a design in JupyterLab.")
    opens.add_argument("file", metavar="FILE", nargs="?", help="a design file; else the example")
    how = opens.add_mutually_exclusive_group()
    how.add_argument("--app", action="store_true", help="as an app without code, by Voila")
    how.add_argument(
        "--notebook",
        action="store_true",
        help="open the notebook that stands beside the design file, whatever it would run",
    )
    opens.add_argument("--no-browser", action="store_true", help="say where it is, and no more")
    opens.add_argument("--port", type=int, metavar="N", help="where it listens on this machine")
    opens.add_argument("--allow-root", action="store_true", help="run JupyterLab as root")
    between = command("changes", "Say what changes from one design to the next.")
    between.add_argument("old", metavar="OLD", help="the design file as it was")
    between.add_argument("new", metavar="NEW", help="the design file as it is now")
    between.add_argument("--units", choices=[s.value for s in System], help="in or mm")
    between.add_argument("--csv", action="store_true", help="print the rows as CSV")
    finds = command(
        "search",
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
    what_if = command("what-if", "Hold named variants of a design against each other.")
    what_if.add_argument("file", metavar="FILE", help="a design file")
    what_if.add_argument(
        "--set",
        metavar="VARIANT",
        action="append",
        default=[],
        help="a variant, such as 'deeper: case.depth = 23 in; case.width = 80 in'",
    )
    what_if.add_argument("--csv", action="store_true", help="print the rows as CSV")
    command("schema", "Print the JSON Schema of design files, for editors.")
    return parser, tuple(commands.choices)
