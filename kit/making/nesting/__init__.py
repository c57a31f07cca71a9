"""Sheet layouts: boards onto the fewest, cheapest sheets, all cuts edge to edge.

`layout` holds the values, `guillotine` the search (`live_layout`, `final_layout`), `verify` the
proof that every answer has to pass, `strips` the same in one dimension.
"""
