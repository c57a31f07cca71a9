"""The dado: a channel across the grain that houses the end of another board."""

from dataclasses import dataclass

from kit.board import Operation
from kit.joinery.trench import Trench


@dataclass(frozen=True, slots=True, kw_only=True)
class Dado(Trench):
    """A channel across the length, its near wall `offset` mm from end 1.

    Depth a quarter to a third of the thickness, at most half; the wood between it and the
    end beside it is short grain and should be at least half the thickness.
    Source: common practice, no source.
    """

    run = 1
    operation = Operation.DADO
