"""How many examples each property test tries: the one place that says so.

A profile sets how many examples a test gets whose examples cost next to nothing:

    dev     10 at a desk
    ci      100 where the environment variable CI is set
    new     100 that were never tried before: the other two try the same ones every time, so that
            what passes once passes again (`--hypothesis-profile=new`)

A test whose examples cost more names what one of them is, and gets fewer in proportion:

    @examples(CONSOLE)              60 of 100: each example builds a console
    @examples(CONSOLE, times=5)     five times as many: what it looks for is rare

The names are numbers out of the profile's hundred.
"""

import os
from collections.abc import Sequence
from math import ceil
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis.database import DirectoryBasedExampleDatabase
from hypothesis.strategies import SearchStrategy

#: A whole pack, written and read back.
PACK = 3
#: All solids of a console, or all files that are made of them.
SOLIDS = 5
#: Pictures of a console, or its lists several times over.
PICTURES = 12
#: A design file that is changed, built again, and compared.
CHANGE = 20
#: The lists or the checks of a console.
LISTS = 30
#: A drawing or a solid of each board.
BOARDS = 40
#: A console that is built, and asked one thing.
CONSOLE = 60
#: Arithmetic.
CHEAP = 100

#: No property test is timed, and none fails because its examples are large.
_ALWAYS: dict[str, Any] = {
    "deadline": None,
    "suppress_health_check": (
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
        HealthCheck.large_base_example,
    ),
}
for _name, _count, _same in (("dev", 10, True), ("ci", 100, True), ("new", 100, False)):
    _database = None if _same else DirectoryBasedExampleDatabase(".hypothesis/examples")
    settings.register_profile(
        _name, max_examples=_count, derandomize=_same, database=_database, **_ALWAYS
    )


def load() -> None:
    """Load the profile for where the tests run; `--hypothesis-profile` overrules it."""
    settings.load_profile("ci" if os.environ.get("CI") else "dev")


def examples(each: int = CHEAP, *, times: int = 1, shrink: bool = True) -> settings:
    """How many examples a test gets by what each of them costs, under the profile that is loaded.

    Without `shrink` a failing example is reported as it was found: what fails says where it is,
    and to make a whole console smaller takes minutes.
    """
    count = ceil(settings.default.max_examples * times * each / 100)
    phases = tuple(Phase) if shrink else (Phase.explicit, Phase.reuse, Phase.generate)
    return settings(max_examples=count, phases=phases)


def drawn[T](strategy: SearchStrategy[T], count: int, number: int | str) -> Sequence[T]:
    """Values of a strategy, as many under every profile and the same ones for one `number`."""
    found: list[T] = []

    @seed(number)
    @settings(
        max_examples=count,
        database=None,
        phases=(Phase.generate,),
        suppress_health_check=list(HealthCheck),
    )
    @given(strategy)
    def draw(value: T) -> None:
        found.append(value)

    draw()
    return found
