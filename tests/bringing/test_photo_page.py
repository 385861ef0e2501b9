"""The photograph's page: a synthetic picture of a sleeve, marked, flattened and saved."""

import json
from typing import Any

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.urls import reverse
from svgpathtools import parse_path

from patterns.geometry.arclength import FloatArray
from patterns.models import PatternVersion
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece
from tests.bringing.camera import Camera
from tests.bringing.files import ARMHOLE, TOP, UNDER
from tests.conftest import Signed
from tests.factories import PatternVersionFactory

pytestmark = pytest.mark.django_db

CAMERA = Camera(
    over_mm=(500.0, 350.0), height_mm=1700.0, tilt_deg=22, roll_deg=5, size=(3000, 2400)
)
MARKS = np.array([(0.0, 0.0), (1000.0, 0.0), (1000.0, 700.0), (0.0, 700.0)])
DIAGONAL = float(np.hypot(1000, 700))
SIZES = {
    "first_second": "1000",
    "second_third": "700",
    "first_third": f"{DIAGONAL:.2f}".replace(".", ","),
    "second_fourth": f"{DIAGONAL:.2f}",
}


def along(d: str, shift: tuple[float, float], count: int) -> FloatArray:
    """Points set along a line as drawn, where it lies on the paper."""
    curve = parse_path(d)
    at = [curve.point(curve.ilength(s * curve.length())) for s in np.linspace(0, 1, count)]
    return np.array([(p.real, p.imag) for p in at]) + shift


def on_paper() -> dict[str, FloatArray]:
    """The hand-drawn sleeve and armhole laid out on the paper, mm."""
    found: dict[str, FloatArray] = {}
    for piece, lines, shift in (
        ("top sleeve", TOP, (160.0, 30.0)),
        ("under sleeve", UNDER, (450.0, 30.0)),
    ):
        for name, d in lines.items():
            straight = name in ("cuff", "biceps line", "elbow line")
            count = 2 if straight else 1 if "notch" in name else 13
            found[f"{piece} {name}"] = along(d, shift, count)
    found["top sleeve crown notch"] = np.array([(160.0, 30.0)])
    found["armhole"] = along(ARMHOLE["armhole"], (780.0, 300.0), 25)[:-1]
    for name in ("front pitch", "back pitch"):
        found[f"armhole {name} notch"] = along(ARMHOLE[name], (780.0, 300.0), 3)[1:2]
    return found


def points(noise_px: float = 0.0, **more: FloatArray) -> str:
    chance = np.random.default_rng(3)
    lines = {"marks": MARKS, **on_paper(), **more}
    return json.dumps(
        {
            name: (CAMERA.pixels(of) + chance.normal(0, noise_px, of.shape)).tolist()
            for name, of in lines.items()
        }
    )


@pytest.fixture
def version(db: None) -> PatternVersion:
    made: PatternVersion = PatternVersionFactory()
    return made


def address(version: PatternVersion) -> str:
    return reverse("pattern-photo", args=[version.pattern_id])


def photographed(fitter: Signed, version: PatternVersion) -> HttpResponse:
    file = SimpleUploadedFile("sleeve.jpg", CAMERA.picture([*on_paper().values()], MARKS))
    answer: HttpResponse = fitter[0].post(address(version), {"picture": file})
    return answer


def sent(fitter: Signed, version: PatternVersion, **form: Any) -> HttpResponse:
    answer: HttpResponse = fitter[0].post(address(version), {**SIZES, "points": points(), **form})
    return answer


def test_a_picture_is_taken_in_and_served_only_to_whoever_may_bring_in(
    fitter: Signed, workroom: Signed, version: PatternVersion
) -> None:
    assert photographed(fitter, version).status_code == 302
    page = fitter[0].get(address(version)).content.decode()
    at = page.partition('<image href="')[2].partition('"')[0]
    answer = fitter[0].get(at)
    assert answer["Content-Type"] == "image/jpeg"
    assert "sandbox" in answer["Content-Security-Policy"]
    assert answer["Cache-Control"] == "private, no-store"
    assert workroom[0].get(at).status_code == 404
    assert fitter[0].get(at.replace(at[-12:-4], "00000000")).status_code == 404


def test_a_sleeve_read_from_a_tilted_photograph_has_its_lengths(
    fitter: Signed, version: PatternVersion
) -> None:
    """Points without error: what is left is the spline through 13 points of an edge."""
    photographed(fitter, version)
    looked = sent(fitter, version, look="1")
    page = looked.content.decode()
    assert looked.status_code == 200
    assert "agree within 0.0 mm" in page
    assert "off by up to about" in page
    assert page.count("<svg") == 2
    assert sent(fitter, version, use="1").status_code == 302
    bring = reverse("pattern-bring-in", args=[version.pattern_id])
    save = {"save": "1", "left": "file", "right": "now", "note": "from paper", "offered": "1"}
    assert fitter[0].post(bring, save).status_code == 302
    side = SidePattern.read(PatternVersion.objects.get(number=2).sides["left"])
    pieces = two_piece(side)
    for piece, drawn in ((pieces.top, TOP), (pieces.under, UNDER)):
        for edge in piece.edges:
            wanted = parse_path(drawn[edge.name]).length()
            assert edge.length_mm == pytest.approx(wanted, abs=0.5), edge.name
    assert side.sleeve.crown_height_mm == pytest.approx(160, abs=0.3)
    assert side.sleeve.elbow_down_mm == pytest.approx(356, abs=0.3)
    assert side.armhole.height_mm == pytest.approx(170, abs=0.3)
    assert side.armhole.pitch_height_mm == pytest.approx(70, abs=0.3)


def test_points_set_by_hand_within_a_pixel_keep_lengths_within_the_stated_error(
    fitter: Signed, version: PatternVersion
) -> None:
    """A pixel is 0.7 mm here. Either end of an edge may be off by two of the stated sigmas."""
    photographed(fitter, version)
    assert sent(fitter, version, points=points(1.0), use="1").status_code == 302
    page = fitter[0].get(reverse("pattern-bring-in", args=[version.pattern_id]))
    made, remarks = page.context["offer"].made["left"]["file"]
    stated = float(remarks[0].partition("up to about ")[2].partition(" mm")[0])
    assert stated < 2.0
    pieces = two_piece(SidePattern.read(made))
    for piece, drawn in ((pieces.top, TOP), (pieces.under, UNDER)):
        for edge in piece.edges:
            wanted = parse_path(drawn[edge.name]).length()
            assert edge.length_mm == pytest.approx(wanted, abs=2 * 2**0.5 * stated), edge.name


def test_a_check_distance_tells_how_far_off_it_is(fitter: Signed, version: PatternVersion) -> None:
    photographed(fitter, version)
    ends = {"check distance": np.array([(100.0, 650.0), (400.0, 650.0)])}
    page = sent(fitter, version, points=points(**ends), check="302,5", look="1").content.decode()
    assert "reads 300.0 mm for 302.5 mm: 2.5 mm too short; look again." in page


def test_without_diagonals_or_check_the_page_says_that_nothing_checks_it(
    fitter: Signed, version: PatternVersion
) -> None:
    photographed(fitter, version)
    page = sent(fitter, version, first_third="", second_fourth="", look="1").content.decode()
    assert "Nothing checks the picture yet" in page


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"points": json.dumps({"marks": [[1, 1]]})}, "Set all four marks"),
        ({"points": "[1]"}, "did not arrive"),
        ({"points": '{"marks": [[1, NaN]]}'}, "did not arrive"),
        ({"points": '{"marks": [[1, 99999]]}'}, "did not arrive"),
        ({"points": "[" * 50_000}, "did not arrive"),
        ({"points": json.dumps({"top sleeve head": [[1, 1]] * 101})}, "More points"),
        ({"points": json.dumps({"collar": [[1, 1]]})}, "More points"),
        ({"first_second": "0"}, "greater than or equal to 1"),
        ({"first_second": "wide"}, "Enter a number"),
        ({"first_third": "2500"}, "measure"),
        ({"points": json.dumps({"marks": json.loads(points())["marks"]})}, "No line is set"),
    ],
)
def test_what_cannot_be_worked_is_refused_and_what_was_set_is_kept(
    fitter: Signed, version: PatternVersion, form: dict[str, str], words: str
) -> None:
    photographed(fitter, version)
    sent(fitter, version, look="1")
    answer = sent(fitter, version, look="1", **form)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert "{&quot;" in page.partition('id="points"')[2][:200]
    assert 'value="700"' in page


def test_a_bad_picture_is_refused_and_the_one_before_is_kept(
    fitter: Signed, version: PatternVersion
) -> None:
    photographed(fitter, version)
    file = SimpleUploadedFile("x.jpg", b"\xff\xd8 nothing")
    answer = fitter[0].post(address(version), {"picture": file})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "no JPEG or PNG" in page
    assert "<image href" in page


def test_leaving_the_photograph_deletes_it(fitter: Signed, version: PatternVersion) -> None:
    photographed(fitter, version)
    page = fitter[0].get(address(version)).content.decode()
    at = page.partition('<image href="')[2].partition('"')[0]
    sent(fitter, version, leave="1")
    assert fitter[0].get(at).status_code == 404
    assert "<image" not in fitter[0].get(address(version)).content.decode()
