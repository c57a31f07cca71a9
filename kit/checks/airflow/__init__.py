"""Will it stay cool? The air and heat of a console, computed from its boards.

    boards -> read_network -> Network -> system -> steady -> Climate -> check_airflow

`air`, `wood`, `amplifier` and `plume` are plain formulas; `neighbours` holds published ways
to reckon metal enclosures, for comparison only.
"""

from kit.checks.airflow.added import unknown_air
from kit.checks.airflow.climates import Climate, Evening, Heat, climate, evening, unknown_heat
from kit.checks.airflow.equations import System, system
from kit.checks.airflow.network import ROOM, Link, Network, Opening, OpeningKind, Zone, ZoneKind
from kit.checks.airflow.reading import read_network
from kit.checks.airflow.sizing import (
    UNCERTAIN,
    QuickRule,
    VentSize,
    quick_rules,
    rises_by_area_k,
    size_fan_m3_h,
    size_vents,
)
from kit.checks.airflow.solve import NoAnswerError, Solution, film, steady
from kit.checks.airflow.surface import board_rises
from kit.checks.airflow.told import in_words
from kit.checks.airflow.verdicts import check_airflow, least_tolerant

__all__ = [
    "ROOM",
    "UNCERTAIN",
    "Climate",
    "Evening",
    "Heat",
    "Link",
    "Network",
    "NoAnswerError",
    "Opening",
    "OpeningKind",
    "QuickRule",
    "Solution",
    "System",
    "VentSize",
    "Zone",
    "ZoneKind",
    "board_rises",
    "check_airflow",
    "climate",
    "evening",
    "film",
    "in_words",
    "least_tolerant",
    "quick_rules",
    "read_network",
    "rises_by_area_k",
    "size_fan_m3_h",
    "size_vents",
    "steady",
    "system",
    "unknown_air",
    "unknown_heat",
]
