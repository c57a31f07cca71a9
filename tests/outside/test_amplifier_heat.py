"""Heat of amplifiers: 16 CFR 432.3(c) for 1/8 power (text read), a worked example of a 500 W
plate on a public forum (text read), and what stays in the cabinet (computed apart).
"""

from functools import partial

import pytest

from kit.checks.airflow.amplifier import (
    EFFICIENCY_AT_EIGHTH,
    EFFICIENCY_FULL,
    TEST_SHARE,
    amplifier_heat_w,
    amplifier_mains_w,
)
from kit.errors import BuildError
from kit.sources import source
from published import Figure, by, each, held, worked

full_w = partial(amplifier_mains_w, 1, 100, share=1.0, efficiency=EFFICIENCY_FULL)
rest_w = partial(amplifier_mains_w, 6, 100, share=1 / 8, efficiency=0.25)

EXAMPLE = source("amplifier-example")
PUBLISHED = {
    source("ftc-432"): [
        Figure("share of the rated power at which it is warmed up", "", 1 / 8, lambda: TEST_SHARE)
    ],
    EXAMPLE: [
        Figure("efficiency at full power", "", 0.50, lambda: EFFICIENCY_FULL),
        Figure("efficiency at 1/8", "", 0.25, lambda: EFFICIENCY_AT_EIGHTH),
        Figure("one channel of 100 W, full", "W", 200, full_w),
        Figure("six channels of 100 W at 1/8", "W", 300, rest_w),
        Figure("all seven, from the mains", "W", 500, lambda: full_w() + rest_w()),
    ],
    worked(EXAMPLE): [
        Figure(
            "7 x 100 W at 1/8, from the mains",
            "W",
            350,
            partial(amplifier_mains_w, 7, 100, share=1 / 8, efficiency=0.25),
        ),
        *(
            Figure(
                f"heat left in the cabinet by {channels} x {rated_w} W at 1/8",
                "W",
                heat_w,
                partial(amplifier_heat_w, channels, rated_w),
            )
            for channels, rated_w, heat_w in [(7, 100, 262.5), (5, 80, 150), (2, 100, 75)]
        ),
        Figure(
            "the same for 7 x 100 W of 65 % (class D)",
            "W",
            47,
            partial(amplifier_heat_w, 7, 100, efficiency=0.65),
            by(0.2),
        ),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_refuses_what_is_no_amplifier():
    with pytest.raises(BuildError, match="efficiency"):
        amplifier_heat_w(2, 100, efficiency=0.0)
