"""What README.md and DEVELOPERS.md tell a reader to type, read out of their text."""

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
DOCUMENTS = ("README.md", "DEVELOPERS.md")
#: What begins a command in running text; a bare `kit.units` or `uv` is none.
COMMAND = re.compile(r"(?:uv|kit|pip|python3?|jupyter|pytest)\s+\S|\.ci/run$")
#: The one indented block that is a picture and no command.
DATA_FLOW = "design file (TOML) -> Design ->"


def text_of(document: str) -> str:
    return (ROOT / document).read_text(encoding="utf-8")


def snippets(document: str) -> list[tuple[str, str]]:
    """Its fenced blocks, each with the language it names."""
    return re.findall(r"^```(\w*)\n(.*?)^```$", text_of(document), re.M | re.S)


def spans(document: str) -> list[str]:
    """What stands between backticks in its running text, each once."""
    return list(dict.fromkeys(re.findall(r"(?<!`)`([^`\n]+)`(?!`)", _without_fences(document))))


def links(document: str) -> list[str]:
    return re.findall(r"\]\(([^)\s]+)\)", text_of(document))


def rows(document: str, head: str) -> list[list[str]]:
    """The cells of the table that has `head` as its first heading, without the heading."""
    table = text_of(document).split(f"| {head} |", 1)[1].split("\n\n", 1)[0].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("| ").split(" | ", 1)] for line in table]


def commands(document: str) -> list[str]:
    """Every command of a document, without `uv run` before it; each once, in order."""
    return list(dict.fromkeys(_plain(command) for command in _commands(document)))


def kit_arguments(command: str) -> list[str]:
    """The arguments of a `kit` command, as a shell would hand them over."""
    name, *arguments = shlex.split(command)
    assert name == "kit"
    return arguments


def _commands(document: str) -> Iterator[str]:
    blocks = re.sub(r" *\\\n +", " ", _without_fences(document))
    for line in re.findall(r"^    (\S.*)$", blocks, re.M):
        if not line.startswith(DATA_FLOW):
            yield from line.split(" && ")
    yield from (span for span in spans(document) if COMMAND.match(span))


def _plain(command: str) -> str:
    return command.strip().removeprefix("uv run ").removeprefix("--no-dev ")


def _without_fences(document: str) -> str:
    return re.sub(r"^```.*?^```$", "", text_of(document), flags=re.M | re.S)
