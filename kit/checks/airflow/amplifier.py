"""Heat that an amplifier leaves in the cabinet. Plain functions, watts."""

from kit.errors import BuildError

#: Share of rated power at which amplifiers are tested warm. Source: ftc-432.
TEST_SHARE = 1 / 8
#: Share of mains power that a class AB stage hands on at 1/8 and at full power.
#: Source: amplifier-example.
EFFICIENCY_AT_EIGHTH = 0.25
EFFICIENCY_FULL = 0.50


def amplifier_mains_w(channels: int, rated_w: float, *, share: float, efficiency: float) -> float:
    """Mains power of `channels` at `share` of their rated power, W: n·P·share/η."""
    if not 0.0 < efficiency <= 1.0 or share < 0.0:
        raise BuildError(
            f"An amplifier of efficiency {efficiency:g} at {share:g} of its power is none; "
            "give an efficiency above 0 and up to 1, and a share from 0."
        )
    return channels * rated_w * share / efficiency


def amplifier_heat_w(
    channels: int,
    rated_w: float,
    *,
    share: float = TEST_SHARE,
    efficiency: float = EFFICIENCY_AT_EIGHTH,
) -> float:
    """Heat left in the cabinet, W: mains power less what goes to the speakers.

    Seven channels of 100 W at 1/8 take 350 W and leave 262.5 W. Source: ftc-432 for the 1/8,
    amplifier-example for the efficiency of class AB; class D reaches about 0.65 (from memory).
    """
    mains_w = amplifier_mains_w(channels, rated_w, share=share, efficiency=efficiency)
    return mains_w - channels * rated_w * share
