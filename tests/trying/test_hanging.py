"""A sleeve hung in space against a tube turned by scipy and the rule of what can be seen."""

from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from patterns.geometry.section import Section
from patterns.geometry.sleeve import Levels
from patterns.geometry.visibility import is_visible
from tests.trying.hung import ARMHOLE, TOWARDS, hang, pose, turned

MOVES: list[dict[str, Any]] = [
    {},
    {"notch_shift_mm": 12},
    {"notch_shift_mm": -15, "hindarm_shift_mm": Levels.alike(9)},
    {
        "hindarm_shift_mm": Levels(head=14, elbow=8, cuff=-6),
        "forearm_shift_mm": Levels(head=-5, elbow=7, cuff=12),
        "section_ratio": 1.25,
        "hindarm_length_mm": 8,
    },
]


@pytest.mark.parametrize("moves", MOVES)
def test_upper_sleeve_stands_as_scipy_turns_it(moves: dict[str, Any]) -> None:
    hung, rotation = hang(**moves), turned(hang(**moves))
    above = hung.down_mm < hung.down_mm[hung.elbow_at] - 71
    axis = hung.centre_mm[above][-1] - hung.centre_mm[0]
    assert axis / np.linalg.norm(axis) == pytest.approx(rotation.apply([0, 0, -1]), abs=1e-9)
    assert hung.front[above] == pytest.approx(
        np.tile(rotation.apply([1, 0, 0]), (above.sum(), 1)), abs=1e-9
    )


@pytest.mark.parametrize("moves", MOVES)
def test_forearm_is_bent_away_from_where_the_elbow_points(moves: dict[str, Any]) -> None:
    hung, rotation = hang(**moves), turned(hang(**moves))
    out = np.radians(hung.angles.elbow_turn_deg)
    elbow = rotation.apply([-np.cos(out), np.sin(out), 0])
    hinge = np.cross(rotation.apply([0, 0, -1]), -elbow)
    bent = Rotation.from_rotvec(hinge * np.radians(hung.angles.bend_deg))
    lower = hung.centre_mm[-1] - hung.centre_mm[-2]
    found = lower / np.linalg.norm(lower)
    assert found == pytest.approx(bent.apply(rotation.apply([0, 0, -1])), abs=1e-9)
    assert found @ elbow < 0


@pytest.mark.parametrize("moves", MOVES)
def test_length_from_biceps_line_to_cuff_is_the_sleeves(moves: dict[str, Any]) -> None:
    hung = hang(**moves)
    steps = np.linalg.norm(np.diff(hung.centre_mm, axis=0), axis=1)
    assert steps.sum() == pytest.approx(640 - 160, rel=2e-3)


@pytest.mark.parametrize("moves", MOVES)
@pytest.mark.parametrize("view", ["side", "front", "back"])
@pytest.mark.parametrize("seam", ["hindarm", "forearm"])
def test_seam_faces_the_viewer_where_the_visibility_rule_says_so(
    moves: dict[str, Any], view: Any, seam: Any
) -> None:
    hung = hang(**moves)
    faces = hung.seam(seam).faces(TOWARDS[view])
    shift = getattr(hung.sleeve, f"{seam}_shift_mm")
    rings = np.flatnonzero(hung.down_mm < hung.down_mm[hung.elbow_at] - 71)[hung.neck_at :]
    for ring in rings:
        girth = float(hung.girth_mm[ring])
        section = Section(girth_mm=girth, ratio=hung.sleeve.section_ratio)
        share = hung.down_mm[ring] / hung.down_mm[hung.elbow_at]
        moved = shift.head + share * (shift.elbow - shift.head)
        phi = section.phi_at((girth / 2 if seam == "hindarm" else 0) - moved)
        found = faces[ring - len(hung.down_mm)]
        if abs(found) > 1e-6:
            assert bool(found > 0) is is_visible(section, phi, pose(hung), view)


@pytest.mark.parametrize("moves", MOVES)
def test_seams_meet_the_armhole_where_they_are_seated(moves: dict[str, Any]) -> None:
    hung = hang(**moves)
    sleeve = hung.sleeve
    seat = ARMHOLE.seat(
        sleeve.notch_shift_mm, sleeve.hindarm_shift_mm.head, sleeve.forearm_shift_mm.head
    )
    for seam, (x, z) in (("hindarm", seat.back_point_mm), ("forearm", seat.front_point_mm)):
        top = hung.seam(seam).points_mm[0]  # type: ignore[arg-type]
        assert top[[0, 2]] == pytest.approx([x, z], abs=1e-6)


def test_edges_are_the_widest_places_of_every_ring() -> None:
    hung = hang(notch_shift_mm=10, section_ratio=1.3)
    t = np.linspace(0, 2 * np.pi, 7201)
    for towards in TOWARDS.values():
        ends = hung.edges(towards)
        for ring in (hung.neck_at, hung.elbow_at, len(hung.down_mm) - 1):
            p, q = (mm * hung.girth_mm[ring] for mm in (hung.section.p_mm, hung.section.q_mm))
            points = hung.centre_mm[ring] + np.outer(p * np.cos(t), hung.front[ring])
            points = points + np.outer(q * np.sin(t), hung.outside[ring])
            axis = np.cross(hung.front[ring], hung.outside[ring])
            across = np.cross(towards, axis)
            reach = points @ across
            found = sorted(float(end[ring - hung.neck_at] @ across) for end in ends)
            assert found == pytest.approx([reach.min(), reach.max()], abs=1e-3)
