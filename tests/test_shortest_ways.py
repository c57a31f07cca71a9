"""The shortest way of a cable against networkx, a general library of graphs, on whole consoles.

Source: networkx (BSD), its search by Dijkstra, on a graph that is made here from the places.
"""

from itertools import pairwise
from math import inf

import networkx
import pytest
from hypothesis import given

from kit.cabling import cable
from kit.routes import Zones
from kit.routes.network import PER_LEG, Network, passing, rectilinear, way_mm
from profiles import PICTURES, examples
from strategies import built


def graph_of(network, free, start, goals):
    """The places as networkx wants them: an arrow for each leg that a cable may take."""
    arrows = networkx.DiGraph()
    arrows.add_nodes_from(network.spots)
    for here in network.spots:
        if here.opening is None and here != start:
            continue
        for there in network.spots:
            apart = here.opening is None or here.opening != there.opening
            ends = there in goals or (there.opening is not None and free(there.opening) < inf)
            if here != there and apart and ends and set(here.zones) & set(there.zones):
                arrows.add_edge(here, there, mm=rectilinear(here.at, there.at) + PER_LEG)
    return arrows


def cost(path):
    return way_mm(path) + PER_LEG * (len(path) - 1)


def agree(work):
    """Hold every pair of ends of a console against networkx; how many of them are joined."""
    network, joined = Network(Zones(work)), 0
    for kind in (cable("hdmi"), cable("ethernet")):
        free = passing(kind)
        for name in network.ends:
            for other in network.ends:
                starts, goals = network.end(name), network.end(other)
                if name == other or not starts or not goals:
                    continue
                path = network.shortest(starts[0], goals, free)
                arrows = graph_of(network, free, starts[0], goals)
                far = networkx.single_source_dijkstra_path_length(arrows, starts[0], weight="mm")
                want = min((far[goal] for goal in goals if goal in far), default=inf)
                assert (cost(path) if path else inf) == pytest.approx(want, abs=1e-6)
                assert all(arrows.has_edge(a, b) for a, b in pairwise(path))
                joined += bool(path)
    return joined


@pytest.mark.slow
def test_ways_of_the_example_are_those_of_networkx(example):
    assert agree(example) > 20


@examples(PICTURES)
@given(built())
def test_ways_of_any_console_are_those_of_networkx(pair):
    agree(pair[1])
