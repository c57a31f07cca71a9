"""What no change may touch: `[fixed]` of the design, and the room that the piece stands in."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.design import Design
from kit.design_file import value_at
from kit.geometry import SAME_MM

ROOM = "room"


@dataclass(frozen=True, slots=True)
class Kept:
    """What of `design` stays; its room, too, unless `room_gives_way`.

    The piece gives way before the room: what of the room may change, `[fixed] free` says.
    """

    design: Design
    room_gives_way: bool = False

    def allows(self, other: Design) -> bool:
        """Whether another design keeps all of it, and no limit worse than this one."""
        fixed = self.design.fixed
        return (
            all(value_at(other, path) == value_at(self.design, path) for path in fixed.values)
            and all(self._no_worse(other, path, most, 1) for path, most in fixed.at_most.items())
            and all(self._no_worse(other, path, most, -1) for path, most in fixed.at_least.items())
            and (self.room_gives_way or self._same_room(other))
        )

    def _no_worse(self, other: Design, path: str, limit: float, sign: int) -> bool:
        def past(design: Design) -> float:
            value = value_at(design, path)
            return max(0.0, sign * (value - limit)) if isinstance(value, int | float) else 0.0

        return past(other) <= past(self.design) + SAME_MM

    def _same_room(self, other: Design) -> bool:
        if self.design.room == other.room:
            return True
        free = [path.split(".")[1:] for path in self.design.fixed.free if path != ROOM]
        if ROOM in self.design.fixed.free:
            return True
        before, after = (_without(d.room.model_dump(), free) for d in (self.design, other))
        return bool(before == after)


def _without(said: Any, paths: list[list[str]]) -> Any:
    """Plain values without those at some paths."""
    inner: dict[str, list[list[str]]] = {}
    for first, *rest in paths:
        inner.setdefault(first, []).append(rest)
    if isinstance(said, Mapping):
        keys = {str(key): value for key, value in said.items()}
    elif isinstance(said, list | tuple):
        keys = {str(number): value for number, value in enumerate(said, start=1)}
    else:
        return said
    return {
        key: _without(value, inner.get(key, []))
        for key, value in keys.items()
        if [] not in inner.get(key, [])
    }
