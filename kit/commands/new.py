"""`kit new`: a design file to start from."""

import argparse
import os
from pathlib import Path

from kit.commands import OK
from kit.design_file import starter_text
from kit.errors import OutputError
from kit.saving import write


def run(options: argparse.Namespace) -> int:
    """Write a design file to start from; never over a file that is there."""
    path = Path(options.file)
    refused = f"{path} is there already and was left alone; choose another name."
    if os.path.lexists(path):
        raise OutputError(refused)
    write(path, starter_text(), objection=lambda there: refused)
    print(f"Wrote {path}. Change its numbers, then run: kit check {path}")
    return OK
