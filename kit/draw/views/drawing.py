"""What a view hands on: a figure, its title and its scale."""

from dataclasses import dataclass

from kit.draw.drafting import Figure, Scale


@dataclass(frozen=True)
class Drawing:
    """A figure drawn to scale; `marks` are the letters of the boards that stand on it."""

    title: str
    scale: Scale
    figure: Figure
    marks: frozenset[str] = frozenset()
