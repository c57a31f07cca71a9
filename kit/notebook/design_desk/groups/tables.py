"""Rows of the data tables as choices: words for the maker, and the key that the file holds."""

from kit.components.base import Legs
from kit.hardware import edgings
from kit.materials import Form, lumber, lumbers, sheet_goods, stock

#: Legs.leg where a design does not say, mm.
USUAL_LEG: float = Legs.model_fields["leg"].default

SHEETS = [(stock(key).label, key) for key in sheet_goods()]
AS_CASE = [("as the case", None), *SHEETS]
EDGINGS = [("none", None), *((tape.label, key) for key, tape in edgings().items())]
LEG_STOCK = [(stock(key).label, key) for key, row in lumbers().items() if row.form is Form.BOARD]
#: Of these the first of which legs of usual thickness can be planed.
USUAL_LEGS = next(
    key
    for _, key in LEG_STOCK
    if lumber(key).thickness_min_mm <= USUAL_LEG <= lumber(key).thickness_max_mm
)
