"""Long words beside a drawing never push it over the edge of the paper."""

import pytest

from fittings.paper.drawings import Scales, _within

PLATE = '<svg role="img" width="{w}mm" height="50.0mm" viewBox="0 0 {w} 50"/>'


def test_a_drawing_that_fits_is_left_as_it_is() -> None:
    plate = PLATE.format(w=132.0)
    assert _within(Scales(armhole=6, sleeve=16, widest_mm=132), 16, plate) == (16, plate)


@pytest.mark.parametrize(("wide", "scale"), [(132.1, 17), (148.5, 18), (264.0, 32)])
def test_a_drawing_too_wide_is_drawn_at_the_next_whole_scale_and_says_so(
    wide: float, scale: int
) -> None:
    # By hand: 16 * 148.5 / 132 = 18.0; a drawing twice too wide is drawn half as large.
    said, plate = _within(Scales(armhole=6, sleeve=16, widest_mm=132), 16, PLATE.format(w=wide))
    assert said == scale
    now = float(plate.split('width="')[1].split("mm")[0])
    assert now <= 132.0
    assert now == pytest.approx(wide * 16 / scale, abs=1e-3)
    assert f'viewBox="0 0 {wide} 50"' in plate
