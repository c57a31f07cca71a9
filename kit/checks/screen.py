"""Is the console wide enough under its screen?"""

from collections.abc import Iterator
from math import hypot

from kit.casework import Casework
from kit.finding import Finding, Sense, judge

#: Width of a 16:9 picture as a share of its diagonal.
WIDTH_OF_DIAGONAL = 16 / hypot(16, 9)


def check_screen(casework: Casework) -> Iterator[Finding]:
    """The case against the width of the picture; nothing where no screen is named."""
    screen = casework.design.screen
    if screen is None:
        return
    diagonal = screen.diagonal
    picture = WIDTH_OF_DIAGONAL * diagonal
    width = casework.design.case.width
    yield judge(
        "wide enough for the screen",
        "case",
        width,
        picture,
        sense=Sense.AT_LEAST,
        unit="mm",
        watch=0.03 * picture,
        why=f"The picture is {casework.say(picture)} wide and the case {casework.say(width)}; a "
        "console narrower than its screen looks top-heavy and leaves the feet near its ends.",
        assumes="16:9; the frame of the screen adds 10 to 20 mm",
        source="memory",
    )
