"""Random designs for the audit: those of `strategies`, in shops of many kinds.

Some have openings as they were measured, some an offcut on hand with a spot that is spoilt.
"""

from typing import Any

from hypothesis import strategies as st

from kit.hardware import finishes
from profiles import drawn
from strategies import Plain, assemble, designs

#: How far an opening may have been measured from where it was planned, mm.
OFF = 1.5


#: What breaks down the sheets; of a CNC router the boards get drawings of their own.
SAWS = ("track-saw", "table-saw-thin", "circular-saw", "panel-saw", "cnc-1/4", "cnc-3/8")
#: So many designs are drawn at once.
BATCH = 4
OFFCUT, SPOILT = "left over", ((300, 420), (100, 260))


@st.composite
def workshops(draw: st.DrawFn, **limits: Any) -> Plain:
    """A design, measured or not, with a shop to build it in and somebody who approved it."""
    plain = draw(measured(**limits))
    plain["pack"] = {"approved_by": "Head of the workshop"}
    shop = plain["shop"]
    shop["saw"] = draw(st.sampled_from(SAWS))
    shop["finish"] = draw(st.sampled_from(sorted(finishes())))
    if draw(st.booleans()):
        shop["table_saw"] = {"crosscut": "700 mm", "rip": "24 in", "allowance": "6 mm"}
    if draw(st.booleans()):
        offcut = {"stock": plain["case"]["stock"], "name": OFFCUT, "offcut": True, "count": 1}
        offcut |= {"length": "1180 mm", "width": "640 mm"}
        if draw(st.booleans()):
            along, across = ([f"{mm} mm" for mm in span] for span in SPOILT)
            offcut["defects"] = [{"along": along, "across": across}]
        plain["sheet"] = [offcut, {"stock": plain["case"]["stock"]}]
    return plain


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
    """So many random designs, the same every time for one number.

    Few at a time: of many at once Hypothesis makes most by changing a little in an earlier one.
    """
    batches = (
        drawn(workshops(), BATCH + 1, f"{number}-{batch}")[-BATCH:]  # the first is the simplest
        for batch in range(-(-count // BATCH))
    )
    return [plain for batch in batches for plain in batch][:count]
