"""`kit schema`: the JSON Schema of design files."""

import argparse
import json

from kit.commands import OK
from kit.design_file import schema


def run(options: argparse.Namespace) -> int:
    """Print the schema."""
    print(json.dumps(schema(), indent=1))
    return OK
