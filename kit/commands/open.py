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
    asked = ["--no-browser"] * options.no_browser
    if options.port is not None:
        asked.append(f"--port={options.port}")
    if options.app:
        print("kit: the design desk is an app; Ctrl-C ends it.", file=sys.stderr)
        return launch.open_app(file, asked)
    notebook = launch.notebook_beside(file, whatever_it_runs=options.notebook)
    print(f"kit: the design desk is {notebook}; Ctrl-C ends it.", file=sys.stderr)
    return launch.open_lab(notebook, asked + ["--allow-root"] * options.allow_root)
