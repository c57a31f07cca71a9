"""`kit new`: a design file to start from."""

import argparse
import os
from pathlib import Path

from kit.commands import OK
from kit.design_file import example_text, write
from kit.errors import OutputError


def run(options: argparse.Namespace) -> int:
    """Write the example as a design file; never over a file that is there."""
    path = Path(options.file)
    if os.path.lexists(path):
        raise OutputError(f"{path} is there already and was left alone; choose another name.")
    write(path, example_text())
    print(f"Wrote {path}. Change its numbers, then run: kit check {path}")
    return OK
