"""What pins and screws hold.

Eurocode 5, eq 8.20, nails in plywood without predrilling: 0.11 rho d^-0.3 (from memory).
Johansen's rigid dowel: (√2 - 1) f d l, of timber engineering (from memory). Wood Handbook,
chapter 8, withdrawal of wood screws: 15,700 G² D L in pounds and inches (from memory).
"""

from functools import partial

from kit.checks.strength.pins import embedment_mpa, pin_bearing_n, screw_withdrawal_n
from kit.sources import Kind, Seen, Source, source
from published import Figure, each, held, share, worked

INCH, POUND_N = 25.4, 4.44822


def withdrawal_lb(gravity: float, diameter_in: float, thread_in: float) -> float:
    return screw_withdrawal_n(gravity, diameter_in * INCH, thread_in * INCH) / POUND_N


JOHANSEN = Source(
    key="johansen",
    title="Johansen's rigid dowel in timber",
    kind=Kind.HANDBOOK,
    seen=Seen.MEMORY,
)
PUBLISHED = {
    worked(source("ec5")): [
        Figure(
            "5 mm in birch of 630 kg/m³, bearing",
            "MPa",
            42.8,
            partial(embedment_mpa, 630, 5),
            share(0.01),
        )
    ],
    worked(JOHANSEN): [
        Figure(
            "5 mm pin, 10 mm deep, loaded at the mouth, 40 MPa",
            "N",
            (2**0.5 - 1) * 40 * 5 * 10,
            partial(pin_bearing_n, 40, 5, 10, 0),
            share(1e-6),
        ),
        # 42.8 MPa x 5 x (√(18² + 8²) - 18)
        Figure(
            "5 mm pin in birch, 8 mm deep, loaded 5 mm outside",
            "N",
            42.8 * 5 * 1.698,
            lambda: pin_bearing_n(embedment_mpa(630, 5), 5, 8, 5),
            share(0.01),
        ),
    ],
    worked(source("wood-handbook-8")): [
        Figure(
            f"no. {number}, 1 in of thread, specific gravity {gravity:g}",
            "lb",
            15_700 * gravity**2 * diameter,
            partial(withdrawal_lb, gravity, diameter, 1.0),
            share(1e-3),
        )
        for number, diameter, gravity in ((8, 0.164, 0.50), (8, 0.164, 0.65), (6, 0.138, 0.55))
    ],
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)
