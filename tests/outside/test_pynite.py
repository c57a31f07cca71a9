"""The own plane frame against PyNite, an independent finite-element library, on 300 cases.

Continuous boards over uprights with springs at the joints, spread and point loads; the frames
are drawn at random from a fixed seed.
"""

import random
from functools import partial

import numpy as np
import Pynite
import pytest

from kit.checks.strength.solver import Member, Push, Support, solve
from kit.sources import Kind, Seen, Source
from published import Figure, by, each, held

CASES = 300
INF = float("inf")
#: Length of the bar that stands for a spring, mm.
SHORT = 0.003


def random_case(seed: int):
    """Two levels on 2 to 5 uprights: nodes, members, supports, pushes."""
    draw = random.Random(seed)
    count = draw.randint(2, 5)
    xs = [0.0]
    for _ in range(count - 1):
        xs.append(xs[-1] + draw.uniform(250, 1100))
    height = draw.uniform(250, 700)
    e, depth, t = draw.uniform(3000, 13000), draw.uniform(250, 550), draw.uniform(11, 25)
    ei, ea = e * depth * t**3 / 12, e * depth * t
    nodes = [(x, 0.0) for x in xs] + [(x, height) for x in xs]
    members = []
    # a hinge at the foot of the sides would leave a mechanism
    for level, springs in ((0, [1e6, 1e7, INF]), (count, [0.0, 1e6, 1e7, INF])):
        for i in range(count - 1):
            spread = draw.uniform(0, 1.0)
            ends = [INF, INF]
            if i == 0:
                ends[0] = draw.choice(springs)
            if i == count - 2:
                ends[1] = draw.choice(springs)
            members.append(Member(level + i, level + i + 1, ei, ea, *ends, spread))
    for i in range(count):
        rigid = i in (0, count - 1)
        ends = (INF, INF) if rigid else tuple(draw.choice([0.0, 2e6, INF]) for _ in range(2))
        members.append(Member(i, count + i, ei, ea, *ends))
    # not every divider stands on something
    held = [i for i in range(count) if i in (0, count - 1) or draw.random() < 0.5]
    supports = [Support(i, x=INF) for i in held]
    pushes = [
        Push(draw.randrange(count, 2 * count), z=-draw.uniform(0, 300)),
        Push(count, x=draw.uniform(-80, 80)),
    ]
    return nodes, members, supports, pushes


def by_pynite(nodes, members, supports, pushes):
    """Displacements (x, z) of the nodes by PyNite; z is its Y, a joint a short bar with a spring.

    PyNite has no rotational spring between a member and a node, so each is a short
    member whose bending stiffness gives it: k = EI / L for a short member in pure bending.
    """
    model = Pynite.FEModel3D()
    model.add_material("one", 1.0, 1.0, 0.3, 0.0)
    for i, (x, z) in enumerate(nodes):
        model.add_node(f"n{i}", x, z, 0.0)
    for i, m in enumerate(members):
        model.add_section(f"s{i}", m.ea_n, m.ei_nmm2, m.ei_nmm2, 1e12)
        a, b = np.array(nodes[m.a]), np.array(nodes[m.b])
        along = (b - a) / np.hypot(*(b - a))
        ends = []
        for end, (node, spring, at, way) in enumerate(
            ((m.a, m.spring_a, a, along), (m.b, m.spring_b, b, -along))
        ):
            if spring in (0.0, INF):
                ends.append(f"n{node}")
                continue
            inner, section = f"i{i}-{end}", f"j{i}-{end}"
            model.add_node(inner, *(at + SHORT * way), 0.0)
            model.add_section(section, 1e7, spring * SHORT, spring * SHORT, 1e12)
            pair = (f"n{node}", inner) if end == 0 else (inner, f"n{node}")
            model.add_member(section, *pair, "one", section)
            ends.append(inner)
        model.add_member(f"m{i}", *ends, "one", f"s{i}")
        hinged = m.spring_a == 0.0, m.spring_b == 0.0
        model.def_releases(f"m{i}", Rzi=hinged[0], Rzj=hinged[1])
        if m.spread_n_mm:
            model.add_member_dist_load(f"m{i}", "FY", -m.spread_n_mm, -m.spread_n_mm)
    for name in model.nodes:
        model.def_support(name, support_DZ=True, support_RX=True, support_RY=True)
    for s in supports:
        model.def_support(
            f"n{s.node}",
            support_DX=s.x == INF,
            support_DY=s.z == INF,
            support_DZ=True,
            support_RX=True,
            support_RY=True,
        )
    for p in pushes:
        model.add_node_load(f"n{p.node}", "FX", p.x)
        model.add_node_load(f"n{p.node}", "FY", p.z)
    model.analyze_linear(check_stability=False)
    return np.array(
        [
            (model.nodes[f"n{i}"].DX["Combo 1"], model.nodes[f"n{i}"].DY["Combo 1"])
            for i in range(len(nodes))
        ]
    )


def farthest(seeds: range) -> float:
    """Greatest difference of any displacement, as a share of the greatest of its frame."""
    worst = 0.0
    for seed in seeds:
        case = random_case(seed)
        other = by_pynite(*case)
        worst = max(worst, np.abs(solve(*case).moved - other).max() / np.abs(other).max())
    return float(worst)


PYNITE = Source(
    key="pynite",
    title="PyNite, an independent library of finite elements, in the same run",
    kind=Kind.COMPUTED,
    seen=Seen.OWN,
)
BLOCK, LISTED = 30, 90
PUBLISHED = {
    PYNITE: [
        # 0 is agreement; the frames are drawn from a fixed seed
        Figure(
            f"random frames {start} to {start + BLOCK - 1}: farthest displacement, as a share",
            "",
            0,
            partial(farthest, range(start, start + BLOCK)),
            by(1e-3),
        )
        for start in range(0, LISTED, BLOCK)
    ]
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize("start", range(LISTED, CASES, BLOCK))
def test_the_rest_of_three_hundred_frames(start: int) -> None:
    assert farthest(range(start, start + BLOCK)) <= 1e-3


def test_mid_span_deflection_too():
    members = [Member(0, 1, 1e9, 1e7, 0.0, 3e6, 0.4), Member(1, 2, 2e9, 1e7, INF, 0.0, 0.2)]
    nodes = [(0.0, 0.0), (700.0, 0.0), (1500.0, 0.0)]
    bent = solve(nodes, members, [Support(i, x=INF) for i in range(3)])
    # the same with the spans cut in two
    halves = [
        Member(0, 3, 1e9, 1e7, 0.0, INF, 0.4),
        Member(3, 1, 1e9, 1e7, INF, 3e6, 0.4),
        Member(1, 4, 2e9, 1e7, INF, INF, 0.2),
        Member(4, 2, 2e9, 1e7, INF, 0.0, 0.2),
    ]
    other = solve(
        [*nodes, (350.0, 0.0), (1100.0, 0.0)], halves, [Support(i, x=INF) for i in range(3)]
    )
    middle = np.array([0.5])
    for member, node in ((0, 3), (1, 4)):
        assert bent.along(members, member, middle)[0] == pytest.approx(other.moved[node, 1])
