"""Random designs for the audit: those of `strategies`, some with openings as they were measured."""

from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from strategies import Plain, assemble, designs

#: How far an opening may have been measured from where it was planned, mm.
OFF = 1.5


@st.composite
def measured(draw: st.DrawFn, **limits: Any) -> Plain:
    """A design in which none, some or all clear openings were measured after the dry fit."""
    plain = draw(designs(**limits))
    if draw(st.integers(0, 2)) == 0:
        _, casework = assemble(plain)
        plain["measured"]["opening"] = {
            key: f"{planned + draw(st.integers(-15, 15)) / 10 * OFF / 1.5:.3f} mm"
            for key, planned in casework.openings.items()
            if draw(st.booleans())
        }
    return plain


def audited_designs(count: int, number: int) -> list[Plain]:
    """So many random designs, the same every time for one number."""
    found: list[Plain] = []

    @seed(number)
    @settings(
        max_examples=count + 1,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(measured())
    def draw(plain: Plain) -> None:
        found.append(plain)

    draw()
    return found[-count:]
