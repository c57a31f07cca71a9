"""What if: named variants of a design side by side, each judged to the end."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.casework import build
from kit.design_file import parse
from kit.errors import DesignFileError, KitError
from kit.search.answer import Answer
from kit.search.front import Bar
from kit.search.judging import changed_text, judge
from kit.search.request import changes_of
from kit.search.table import cells

#: The name of the design that the variants are held against.
AS_DRAWN = "as drawn"


@dataclass(frozen=True, slots=True)
class Variant:
    """One named variant: its design file, and what is known of it."""

    name: str
    text: str
    answer: Answer


def what_if(variants: Mapping[str, str]) -> tuple[Variant, ...]:
    """Judge variants of a design, given by name as the text of a design file, in their order.

    Failing checks do not stop it. A variant that cannot be built says so in its answer; raises
    DesignFileError for one that cannot be read.
    """
    for name, text in variants.items():
        parse(text, f"Variant {name!r}")
    return tuple(Variant(name, text, judge(text, Bar())) for name, text in variants.items())


def variants_of(text: str, sets: Sequence[str]) -> dict[str, str]:
    """The variants of a design that a maker writes as "deeper: case.depth = 23 in; ...".

    The design as drawn is the first. A new width of the case is shared by its bays, and nothing
    but the values that are named changes otherwise. Raises KitError, with the name of the variant,
    where one cannot be read or built.
    """
    variants = {AS_DRAWN: text}
    for words in sets:
        name, colon, changes = words.partition(":")
        name = name.strip()
        if not colon or not name or name in variants:
            raise DesignFileError(
                f"The variant {words!r} wants a name of its own before a colon; write for example "
                '"deeper: case.depth = 23 in".'
            )
        try:
            variants[name] = changed_text(text, changes_of(changes))
            build(parse(variants[name]))
        except KitError as error:
            raise DesignFileError(f"Variant {name!r}: {error}") from None
    return variants


def what_if_table(variants: Sequence[Variant]) -> list[dict[str, str]]:
    """The variants as rows of texts, every number with its unit."""
    return [
        {"variant": variant.name, **cells(parse(variant.text), variant.answer)}
        for variant in variants
    ]
