"""What the maker asked of the piece, as printed: limits, what is fixed."""

from collections.abc import Iterator

from kit.casework import Casework
from kit.plan_pack.book import Column, Table


def limits_table(casework: Casework) -> Table:
    """Every limit that the design file can set, what it is, and who set it; then what is fixed."""
    return Table(
        title="Limits that the design file can set",
        note="the kit's own: watched, not failed, where it is a matter of taste or of the room.",
        columns=(Column("Limit", 1, strong=True), Column("Value", 1), Column("Set by", 1)),
        rows=tuple(_rows(casework)),
    )


def _rows(casework: Casework) -> Iterator[tuple[str, str, str]]:
    limits, fixed, say = casework.design.limits, casework.design.fixed, casework.say
    most = "none" if limits.sag_most is None else say(limits.sag_most)
    for field, words, value in (
        ("sag", "sag of a board after years, of its span", limits.sag.plain),
        ("sag_most", "sag of a board, whatever its span", most),
        ("picture_deg", "width of the picture as seen, at least", f"{limits.picture_deg:g}°"),
        ("look_up_deg", "looking up to the picture, at most", f"{limits.look_up_deg:g}°"),
        ("doorway", "narrowest door on its way", say(limits.doorway)),
        ("floor_fall_mm_per_m", "floor out of level", f"{limits.floor_fall_mm_per_m:g} mm per m"),
        ("levelling", "what levellers or shims make up for", say(limits.levelling)),
        ("people", "people who lift it, at most", f"{limits.people}"),
    ):
        by = "the design file" if limits.binding(field) else "the kit's own"
        yield f"{words} (limits.{field})", value, by
    for path in fixed.values:
        yield path, "stays as it is", "the design file"
    for path, value_mm in fixed.at_most.items():
        yield path, f"at most {say(value_mm)}", "the design file"
    for path, value_mm in fixed.at_least.items():
        yield path, f"at least {say(value_mm)}", "the design file"
