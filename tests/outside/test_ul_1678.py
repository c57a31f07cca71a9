"""Tipping: UL 1678 (10 degrees), IEC 62368-1 (13 % and 20 % of the weight), as extracts say.

The worked example: console 45 kg at z 0.25 m and screen 25 kg at z 0.90 m, both 0.18 m behind
the tip line: 70 kg, z 0.4821 m, 20.47 degrees, 123.6 N at 1 m (statics, worked by hand).
"""

from functools import partial

from kit.checks.stability import GREATER_SHARE, MOST_PUSH, PUSH_SHARE, SLOPE_DEG, STEEP_DEG
from kit.checks.stability.anchor import PULL_N
from kit.checks.stability.mass import Mass, together
from kit.checks.stability.states import HIGHEST_PUSH
from kit.checks.stability.tipping import restraint_force_n, slides_first, tip_angle_deg, tip_force_n
from kit.sources import source
from published import Figure, by, each, held, share, worked

WHOLE = together([Mass(45, (0, 180, 250)), Mass(25, (0, 180, 900))])
WEIGHT_N = 70 * 9.80665
ANGLE_DEG = tip_angle_deg(WHOLE.at[1], WHOLE.at[2])
FORCE_N = tip_force_n(WHOLE.kg, WHOLE.at[1], 1000)

UL = source("ul-1678")
PUBLISHED = {
    UL: [Figure("slope on which it must stand", "°", 10, lambda: SLOPE_DEG)],
    source("iec-62368-1"): [
        Figure("steeper slope, in place of the push", "°", 15, lambda: STEEP_DEG),
        Figure("level push, share of the weight", "", 0.13, lambda: PUSH_SHARE),
        Figure("the same, greater hazard", "", 0.20, lambda: GREATER_SHARE),
        Figure("level push at most", "N", 250, lambda: MOST_PUSH),
        Figure("pull on an anchor", "N", 250, lambda: PULL_N),
        Figure("height of the push at most", "mm", 1500, lambda: HIGHEST_PUSH),
    ],
    worked(UL): [
        Figure("console and screen, mass", "kg", 70, lambda: WHOLE.kg),
        Figure("height of their centre", "mm", 482.1, lambda: WHOLE.at[2], by(0.05)),
        Figure("slope that tips it", "°", 20.47, lambda: ANGLE_DEG, by(0.005)),
        Figure("push at 1 m that tips it", "N", 123.6, lambda: FORCE_N, by(0.05)),
        Figure("13 % of its weight", "N", 89.2, lambda: PUSH_SHARE * WEIGHT_N, by(0.1)),
        Figure("20 % of its weight", "N", 137.3, lambda: GREATER_SHARE * WEIGHT_N, by(0.1)),
        *(
            Figure(
                f"arm over height {arm / 1000:g}",
                "°",
                told,
                partial(tip_angle_deg, arm, 1000),
                by(0.01),
            )
            for arm, told in ((176.3, 10), (267.9, 15))
        ),
        # 250 N at 1.4 m against 70 kg on 0.18 m, anchored at 0.5 m
        Figure(
            "anchor at 0.5 m against 250 N at 1.4 m",
            "N",
            (250 * 1.4 - WEIGHT_N * 0.18) / 0.5,
            partial(restraint_force_n, 250, 1400, 70, 180, 500),
            share(1e-6),
        ),
        Figure("the same against 50 N", "N", 0, partial(restraint_force_n, 50, 1400, 70, 180, 500)),
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


def test_the_worked_example_passes_one_rule_and_fails_the_other():
    assert ANGLE_DEG > STEEP_DEG > SLOPE_DEG
    assert PUSH_SHARE * WEIGHT_N < FORCE_N < GREATER_SHARE * WEIGHT_N


def test_slides_where_friction_is_below_arm_over_height():
    assert slides_first(0.1, 180, 1000)
    assert not slides_first(0.3, 180, 1000)
