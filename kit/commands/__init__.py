"""The commands of the command line, a module each, loaded only where it is the one asked for.

parser      what may be typed; loads nothing of the kit that is heavy
telling     what several commands share
new, ...    `run(options)` of a module does the command of that name, and returns an exit code
"""

from argparse import Namespace
from importlib import import_module

OK, FAILS, UNREADABLE, CANCELLED = 0, 1, 2, 130


def run(options: Namespace) -> int:
    """Run the command that was read by `parser.read`; return its exit code."""
    command = import_module(f"{__name__}.{options.command.replace('-', '_')}")
    return int(command.run(options))
