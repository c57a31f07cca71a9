"""Rows of the buy list for fans: each with its guard, screws, lead and power supply."""

from collections import defaultdict
from collections.abc import Iterator

from kit.casework import Casework
from kit.components.fan import Mounted
from kit.hardware import Fitting, machine_screw_for
from kit.making.buy_list.row import Bore, BuyKind, BuyRow, Measure, in_short, price_of

#: Screws of one fan, and what they hold besides the panel: the guard, a washer and the near flange
#: of the frame, mm. From memory.
SCREWS, HELD_MM = 4, 8.0
GUARD, LEAD, SUPPLY = "fan-guard", "fan-lead", "fan-supply"


def screw_of(casework: Casework, fan: Mounted) -> Fitting:
    """The machine screw that holds a mounted fan. Raises TableError where none is long enough."""
    assert fan.board is not None
    return machine_screw_for(casework.by_name[fan.board].stock.thickness_max_mm + HELD_MM)


def fan_rows(casework: Casework) -> Iterator[BuyRow]:
    """What the fans of a design take that a panel is bored for."""
    mounted = [fan for fan in casework.fans if fan.board is not None]
    if not mounted:
        return
    alike: dict[str, list[Mounted]] = defaultdict(list)
    screws: dict[Fitting, list[Mounted]] = defaultdict(list)
    for fan in mounted:
        alike[fan.kind.key].append(fan)
        screws[screw_of(casework, fan)].append(fan)
    for key, fans in alike.items():
        kind = fans[0].kind
        flows = (
            f"{fan.spec.name}: {fan.spec.m3_h:.0f} m³/h freely, {fan.spec.max_pressure_pa:g} Pa "
            "against no flow"
            for fan in fans
        )
        label = f"{kind.label}, {kind.thick_mm:g} mm thick, 12 V"
        yield _row(casework, key, label, fans, note=f"by its data sheet, {'; '.join(flows)}")
        yield _row(
            casework,
            f"{GUARD}-{kind.frame_mm:g}",
            f"finger guard for a {kind.label}",
            fans,
            note="outside, over the opening",
        )
    for screw, fans in screws.items():
        bore = Bore(screw.hole_mm, "4.5 mm twist drill", "through the panel")
        yield _row(casework, screw.key, screw.label, fans, each=SCREWS, bores=(bore,))
    yield _row(
        casework,
        LEAD,
        "lead with a socket for the power supply at one end and the plug of the fan at the other",
        mounted,
        note="as long as from the fan to the power supply",
    )
    yield _row(
        casework,
        SUPPLY,
        "12 V power supply, listed, with a plug for the mains",
        mounted,
        note="at least the current on the fan's label; one may feed several by a splitter",
    )


def _row(
    casework: Casework,
    key: str,
    label: str,
    fans: list[Mounted],
    *,
    each: int = 1,
    bores: tuple[Bore, ...] = (),
    note: str = "",
) -> BuyRow:
    count = each * len(fans)
    return BuyRow(
        kind=BuyKind.FAN,
        key=key,
        label=label,
        need=float(count),
        measure=Measure.PIECES,
        buy=count,
        sold_as="piece",
        pack=1.0,
        allowance="none",
        purpose=in_short(f"{fan.spec.name} on {fan.board}" for fan in fans),
        bores=bores,
        note=note,
        price=price_of(casework, key),
    )
