"""`kit open`: the design desk of a design."""

import argparse
import sys
from pathlib import Path

from kit.commands.telling import load
from kit.errors import DesignFileError
from kit.notebook import launch


def run(options: argparse.Namespace) -> int:
    """Start JupyterLab or Voila on the desk of a design, and wait until it ends."""
    file = Path(options.file) if options.file else None
    if file is not None and not file.exists():
        raise DesignFileError(
            f"{file} is not there; to write a design file to start from, run: kit new {file}"
        )
    load(options.file)  # tells what is wrong with it before anything starts
    notebook = launch.desk_notebook(file)
    program = launch.Program.APP if options.app else launch.Program.LAB
    print(f"kit: the design desk is {notebook}; Ctrl-C ends it.", file=sys.stderr)
    return launch.launch(notebook, program, options.further)
