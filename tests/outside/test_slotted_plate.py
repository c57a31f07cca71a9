"""The strip model of a slatted door against plate finite elements (scikit-fem).

A Kirchhoff plate of Morley elements with the slots left out, held in the grooves above and
below and free to turn there; one land is pushed in its middle. Orthotropic as plywood is:
E along and across the face grain from the kit's tables, G 586 MPa (public materials database).
"""

from functools import partial

import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementTriMorley, MeshTri, condense, solve
from skfem.helpers import dd

from kit.checks.strength.slats import strip_mm
from kit.sources import Kind, Seen, Source
from published import Figure, each, held, share

E, E_ACROSS, G, T, PUSH = 7755.0, 4500.0, 586.0, 12.0, 20.0


def plate_mm(height, slot, width, land, count, frame_side, g=G):
    """Deflection under the push in the middle of the middle land, mm."""
    pitch = width + land
    xs = [0.0, frame_side / 2, frame_side]
    for i in range(count):
        left = frame_side + i * pitch
        xs += [left + width / 2, left + width]
        if i < count - 1:
            xs += [left + width + land / 2, left + pitch]
    xs += [xs[-1] + frame_side / 2, xs[-1] + frame_side]
    edge = (height - slot) / 2
    zs = np.concatenate(
        [
            np.linspace(0, edge, 5),
            np.linspace(edge, height - edge, 17)[1:],
            np.linspace(height - edge, height, 5)[1:],
        ]
    )
    mesh = MeshTri.init_tensor(np.array(xs), zs)
    for i in range(count):
        left = frame_side + i * pitch
        middle = mesh.p[:, mesh.t].mean(axis=1)
        inside = (middle[0] > left) & (middle[0] < left + width)
        inside &= (middle[1] > edge) & (middle[1] < height - edge)
        mesh = mesh.remove_elements(np.nonzero(inside)[0])
    basis = Basis(mesh, ElementTriMorley())
    cubed = T**3 / 12

    @BilinearForm
    def bending(u, v, _):
        k, m = dd(u), dd(v)  # the grain runs with the second axis
        own = E_ACROSS * k[0, 0] * m[0, 0] + E * k[1, 1] * m[1, 1]
        return cubed * (own + 4 * g * k[0, 1] * m[0, 1])

    matrix = bending.assemble(basis)
    held = basis.get_dofs(lambda x: np.isclose(x[1], 0) | np.isclose(x[1], height))
    force = np.zeros(basis.N)
    x = frame_side + (count // 2) * pitch - land / 2
    node = np.argmin((mesh.p[0] - x) ** 2 + (mesh.p[1] - height / 2) ** 2)
    dof = basis.nodal_dofs[0, node]
    force[dof] = PUSH
    held_w = held.keep(["u"])
    return solve(*condense(matrix, force, D=held_w))[dof]


CASES = [
    # height, slot length, slot, land, slots, side frame
    (427.0, 325.4, 12.7, 19.0, 8, 52.0),  # the doors of the example
    (427.0, 325.4, 12.7, 12.0, 8, 52.0),
    (427.0, 337.0, 12.7, 30.0, 6, 45.0),
    (600.0, 510.0, 10.0, 19.0, 8, 45.0),
    (350.0, 230.0, 20.0, 25.0, 6, 60.0),
]


def strip_over_plate(case: tuple[float, ...]) -> float:
    """The kit's deflection under the push, over that of the plate."""
    height, slot, width, land, *_ = case
    strip = strip_mm(
        PUSH,
        slot_mm=slot,
        land_mm=land,
        pitch_mm=width + land,
        frame_mm=(height - slot) / 2,
        thickness_mm=T,
        e_mpa=E,
        g_mpa=G,
    )
    return float(strip / plate_mm(*case))


PLATE = Source(
    key="plate-elements",
    title="Kirchhoff plate of Morley elements (library scikit-fem), in the same run",
    kind=Kind.COMPUTED,
    seen=Seen.OWN,
)
PUBLISHED = {
    PLATE: [
        # 1 is agreement
        Figure(
            f"door {case[0]:g} mm high, lands of {case[3]:g} mm: the kit over the plate",
            "",
            1.0,
            partial(strip_over_plate, case),
            share(0.05),
        )
        for case in CASES
    ]
}


@each(PUBLISHED)
def test_published(figure: Figure) -> None:
    held(figure)


@pytest.mark.parametrize(("g_mpa", "share"), [(0.0, 1 / 48), (1e15, 1 / 192)])
def test_strip_between_free_and_clamped(g_mpa, share):
    d = strip_mm(
        PUSH,
        slot_mm=330,
        land_mm=19,
        pitch_mm=32,
        frame_mm=1e-9,
        thickness_mm=T,
        e_mpa=E,
        g_mpa=g_mpa if g_mpa == 0 else g_mpa * 1e9,
    )
    assert d == pytest.approx(share * PUSH * 330**3 / (E * 19 * T**3 / 12), rel=1e-3)
