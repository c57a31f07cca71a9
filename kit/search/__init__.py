"""Designs searched for: the largest from the sheets on hand, the cheapest, the coolest.

    Request (free parameters, goals, limits) -> search() -> Result: rows, the front first

`request` is what is searched for, `candidates` which designs are looked at and in which order,
`judging` the real checks and the real layout of one of them, `front` what is still worth a look,
`answers` the file in which answers are kept, `folder` what is written and may be replaced, `run`
all of it side by side on joblib (`cluster`: on Dask). `what_if` holds named variants of one design
against each other.
"""

from kit.search.answer import Answer, Stage
from kit.search.cluster import on_cluster
from kit.search.folder import (
    ANSWERS,
    PICTURE,
    TABLE,
    design_name,
    not_of_this_search,
    refuse_what_is_in_the_way,
    write_found,
)
from kit.search.judging import changed_text
from kit.search.past_cure import past_cure
from kit.search.request import USUAL_MOST, Depth, Free, Goal, Limit, Measure, Request, changes_of
from kit.search.result import Result, Row, Verdict
from kit.search.run import Progress, processors, search
from kit.search.table import to_text
from kit.search.what_if import Variant, variants_of, what_if, what_if_table

__all__ = [
    "ANSWERS",
    "PICTURE",
    "TABLE",
    "USUAL_MOST",
    "Answer",
    "Depth",
    "Free",
    "Goal",
    "Limit",
    "Measure",
    "Progress",
    "Request",
    "Result",
    "Row",
    "Stage",
    "Variant",
    "Verdict",
    "changed_text",
    "changes_of",
    "design_name",
    "not_of_this_search",
    "on_cluster",
    "past_cure",
    "processors",
    "refuse_what_is_in_the_way",
    "search",
    "to_text",
    "variants_of",
    "what_if",
    "what_if_table",
    "write_found",
]
