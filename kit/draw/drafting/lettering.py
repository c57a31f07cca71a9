"""The room that words take on paper, from the widths in the font itself."""

from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path

from fontTools.ttLib import TTFont

FAMILY = "DejaVu Sans"
#: Heights of capitals after ISO 3098 (from memory), mm: dimensions and notes, titles of views.
CAPITALS, TITLE = 2.5, 3.5
#: Smaller than the standard asks for, for what only helps, mm.
NOTE = 1.8
#: Height of a capital, and how far letters reach below the line, as shares of the font size.
CAP_SHARE, DESCENT_SHARE = 0.729, 0.236


def fonts() -> Path:
    """The folder of the fonts that come with matplotlib, so that no font of the system counts."""
    spec = find_spec("matplotlib")
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"


def font_size(capitals: float) -> float:
    """The font size whose capitals are `capitals` mm high, mm."""
    return capitals / CAP_SHARE


@lru_cache(maxsize=4096)
def width(words: str, capitals: float = CAPITALS, *, bold: bool = False) -> float:
    """Length of a line of words, mm."""
    advances, missing, em = _font(bold)
    return sum(advances.get(ord(c), missing) for c in words) / em * font_size(capitals)


def wrapped(
    words: str, room: float, capitals: float = CAPITALS, *, bold: bool = False
) -> tuple[str, ...]:
    """The words in lines of at most `room` mm; a word that is longer stands alone."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else ""
        if lines and width(longer, capitals, bold=bold) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


@cache
def _font(bold: bool) -> tuple[dict[int, int], int, int]:
    """Advance of each character, that of a missing one, and the units in an em."""
    with TTFont(fonts() / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")) as font:
        metrics = font["hmtx"].metrics
        advances = {code: metrics[name][0] for code, name in font.getBestCmap().items()}
        return advances, metrics[".notdef"][0], font["head"].unitsPerEm
