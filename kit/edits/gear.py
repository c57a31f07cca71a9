"""Devices and cables added and taken away."""

from kit.components.cables import OUTLET, SCREEN
from kit.edits.draft import Changes, Draft
from kit.gear import gear_kind


def add_gear(text: str, kind: str, bay: int | None = None) -> str:
    """The design with one device more, on the floor of a bay, or where the kit finds it a place.

    `kind` is a key of the kinds of gear; its name is made from that. Raises KitError for an
    unknown kind, and where that cannot be built.
    """
    draft = Draft.of(text)
    gear_kind(kind)
    row: dict[str, str | int] = {"name": _free_name(draft, kind.replace("-", " ")), "kind": kind}
    if bay is not None:
        draft.bay(bay)
        row["bay"] = bay
    return draft.with_changes({f"gear.{len(draft.design.gear) + 1}": row})


def remove_gear(text: str, number: int) -> str:
    """The design without a device and its cables; devices count from 1 as in the file.

    Raises KitError where there is none of that number.
    """
    draft = Draft.of(text)
    draft.count("device", number, len(draft.design.gear))
    name = draft.design.gear[number - 1].name
    return draft.with_changes({f"gear.{number}": None} | without_cables(draft, name))


def add_cable(text: str, start: str, end: str, kind: str) -> str:
    """The design with one cable more, from a device or the screen to another or the outlet.

    `kind` is a key of the kinds of cable. Raises KitError for an end that is not there and for
    an unknown kind.
    """
    draft = Draft.of(text)
    row = {"from": start, "to": end, "kind": kind}
    return draft.with_changes({f"cable.{len(draft.design.cables) + 1}": row})


def remove_cable(text: str, number: int) -> str:
    """The design without a cable; cables count from 1 as in the file.

    Raises KitError where there is none of that number.
    """
    draft = Draft.of(text)
    draft.count("cable", number, len(draft.design.cables))
    return draft.with_changes({f"cable.{number}": None})


def without_cables(draft: Draft, name: str) -> Changes:
    """The changes that take out all cables of a device or of the screen."""
    return {
        f"cable.{number}": None
        for number, run in enumerate(draft.design.cables, start=1)
        if name in (run.start, run.end)
    }


def _free_name(draft: Draft, stem: str) -> str:
    taken = {item.name for item in draft.design.gear} | {SCREEN, OUTLET}
    name, number = stem, 1
    while name in taken:
        number += 1
        name = f"{stem} {number}"
    return name
