"""Which rows of a design file a finding is about: what fills the slots of its levers."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from kit.casework import Casework
from kit.checks.around import row_name
from kit.edits.draft import left_to_right
from kit.finding import Finding
from kit.routes import routes

_SLOT = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True)
class Scope:
    """By slot, the numbers of the rows concerned (`bore` and `screen`: the paths); sorted."""

    slots: Mapping[str, tuple[str, ...]]

    def rows(self, slot: str) -> tuple[int, ...]:
        """The rows of a slot as numbers."""
        return tuple(int(row) for row in self.slots[slot])

    def filled(self, path: str) -> Iterator[str]:
        """A path with each of its slots filled in turn."""
        names = _SLOT.findall(path)
        for chosen in product(*(self.slots[name] for name in names)):
            yield path.format(**dict(zip(names, chosen, strict=True)))


def scope_of(casework: Casework, finding: Finding) -> Scope:
    """The rows that a finding names, and those around them where it names none of a kind."""
    design = casework.design
    boards = set(finding.boards) | {name for name in casework.by_name if _says(finding, name)}
    gear = [n for n, p in enumerate(casework.gear, 1) if _says(finding, p.item.name)]
    content = [n for n, m in enumerate(casework.media, 1) if row_name(m) == finding.subject]
    fans = [n for n, fan in enumerate(design.fans, 1) if fan.name == finding.subject]
    bays = _bays(casework, finding, boards, gear, content)
    standing = {casework.gear[n - 1].item.name for n in gear}
    if finding.subject.startswith("cable "):
        cable = [r.number for r in routes(casework) if r.name == finding.subject]
    else:
        cable = [
            n
            for n, run in enumerate(design.cables, 1)
            if not standing or standing & {run.start, run.end}
        ]
    if cable and finding.subject.startswith("cable "):
        ends = {design.cables[n - 1].start for n in cable} | {
            design.cables[n - 1].end for n in cable
        }
        gear = gear or [n for n, p in enumerate(casework.gear, 1) if p.item.name in ends]
    loaded = [name for name in boards if name.startswith("shelf-")]
    if not gear:
        gear = [
            n
            for n, p in enumerate(casework.gear, 1)
            if (p.item.on in boards if loaded else p.bay is not None and p.bay.number in bays)
        ]
    if not content:
        content = [
            n
            for n, m in enumerate(casework.media, 1)
            if (m.content.on in boards if loaded else m.bay.number in bays)
        ]
    panels = design.back.panels if design.back else ()
    panel = [n for n, p in enumerate(panels, 1) if f"back-{n}" in boards]
    panel = panel or [n for n, p in enumerate(panels, 1) if bays & set(p.bays)]
    named = re.fullmatch(r"back-(\d+) hole (\d+)", finding.subject)
    bore = [
        f"back.panels.{n}.holes.{m}"
        for n in panel
        for m, _ in enumerate(panels[n - 1].holes, 1)
        if named is None or (n, m) == (int(named[1]), int(named[2]))
    ]
    places = left_to_right(design)
    divider = [row + 1 for at, row in enumerate(places, 1) if f"divider-{at}" in boards]
    shelf = [n for n in range(1, len(design.shelves) + 1) if _shelf(n) & boards]
    slots: dict[str, Sequence[int | str]] = {
        "gear": gear,
        "content": content,
        "shelf": shelf or [n for n, s in enumerate(design.shelves, 1) if s.bay in bays],
        "divider": divider or [row + 1 for at, row in enumerate(places, 1) if {at, at + 1} & bays],
        "panel": panel,
        "bore": bore,
        "hole": [n for n, h in enumerate(design.holes, 1) if h.board in boards],
        "notch": [n for n, h in enumerate(design.notches, 1) if h.board in boards],
        "fan": fans or [n for n, fan in enumerate(design.fans, 1) if fan.bay in bays],
        "cable": cable,
        "bay": sorted(bays),
        "screen": ["next_screen" if finding.subject.endswith("next screen") else "screen"],
    }
    return Scope({name: tuple(str(row) for row in rows) for name, rows in slots.items()})


def _says(finding: Finding, name: str) -> bool:
    """Whether the subject names a thing, as a whole word."""
    return bool(re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", finding.subject))


def _shelf(number: int) -> set[str]:
    return {f"shelf-{number}", f"shelf-{number}-lipping"}


def _bays(
    casework: Casework, finding: Finding, boards: set[str], gear: list[int], content: list[int]
) -> set[int]:
    """The bays of what is named; every bay where nothing has one."""
    design = casework.design
    found = {p.bay.number for n in gear if (p := casework.gear[n - 1]).bay}
    found |= {casework.media[n - 1].bay.number for n in content}
    found |= {bay.number for bay in casework.bays if _says(finding, bay.name)}
    found |= {fan.bay for fan in design.fans if fan.name == finding.subject}
    if not found:
        found |= {s.bay for n, s in enumerate(design.shelves, 1) if _shelf(n) & boards}
        for bay in casework.bays:
            dividers = {bay.left.name, bay.right.name} - {"side-left", "side-right"}
            if dividers & boards:
                found.add(bay.number)
        for number, panel in enumerate(design.back.panels if design.back else (), 1):
            if f"back-{number}" in boards:
                found |= set(panel.bays)
    return found or {bay.number for bay in casework.bays}
