"""What the kit itself wrote into a folder, and whether somebody has changed it since: by hashes."""

import hashlib
import json
import os
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

#: More is no record of ours, bytes.
LARGEST_RECORD = 10_000_000
#: What file managers leave in a folder unasked. Source: common practice, no source.
OF_FILE_MANAGERS = frozenset(
    {".DS_Store", ".directory", "Desktop.ini", "desktop.ini", "Thumbs.db", "ehthumbs.db"}
)


def digest(path: Path) -> str:
    """The SHA-256 of a plain file; empty for a link and all else. Raises OSError."""
    if not is_plain_file(path):
        return ""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def digest_of(text: str | bytes) -> str:
    """The SHA-256 of a text in UTF-8, or of bytes."""
    data = text.encode("utf-8") if isinstance(text, str) else text
    return hashlib.sha256(data).hexdigest()


def is_plain_file(path: Path) -> bool:
    """Whether there is a file of that very name: no link, no pipe, no folder. Raises OSError."""
    try:
        return stat.S_ISREG(os.lstat(path).st_mode)
    except FileNotFoundError:
        return False


def sealed(content: Mapping[str, Any], seal: str) -> str:
    """A record as JSON, with its own hash under the key `seal`, so that a change of it is seen."""
    return _text({**content, seal: digest_of(_text(content))})


def unsealed(path: Path, seal: str) -> dict[str, Any] | None:
    """The content of a sealed record; None where there is none, or it was changed."""
    try:
        if not is_plain_file(path) or os.lstat(path).st_size > LARGEST_RECORD:
            return None
        text = path.read_text(encoding="utf-8")
        content = json.loads(text)
        del content[seal]
        return content if sealed(content, seal) == text else None
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return None


def _text(content: Mapping[str, Any]) -> str:
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"
