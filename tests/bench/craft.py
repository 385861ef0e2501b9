"""The craft beside the libraries it stands on, and beside its own draft alone."""

from tests.bench.beside import beside


def curves() -> None:
    """Arc length and its inverse on the outline of an armhole, nothing kept from call to call."""
    import numpy as np
    from fontTools.misc.bezierTools import calcCubicArcLength
    from svgpathtools import CubicBezier
    from svgpathtools import Path as OtherPath

    from patterns.geometry.armhole import Armhole
    from patterns.geometry.path import Path

    armhole = Armhole.from_measures(girth_mm=480, pitch_width_mm=140, pitch_height_mm=65)
    spans = armhole.curve.beziers()

    def theirs() -> OtherPath:
        return OtherPath(*(CubicBezier(*(complex(*p) for p in span)) for span in spans))

    def ours() -> Path:
        return Path(name="outline", spans_mm=spans)

    def by_font_tools() -> float:
        return sum(calcCubicArcLength(*map(tuple, span), tolerance=1e-9) for span in spans)

    whole = ours().length_mm
    for name, length in (
        ("svgpathtools", theirs().length(error=1e-12)),
        ("fontTools", by_font_tools()),
    ):
        print(f"arc length agrees with {name} to {abs(whole - length) / length:.1e}")
    wanted = whole * (np.arange(40) + 0.5) / 40
    their_places = [theirs().ilength(s, s_tol=1e-9 * whole, error=1e-12) for s in wanted[:3]]
    apart = [
        abs(complex(*ours().point(ours().place_at(s))) - theirs().point(t))
        for s, t in zip(wanted[:3], their_places, strict=True)
    ]
    print(f"places by arc length agree with svgpathtools to {max(apart) / whole:.1e} of the whole")

    beside(
        f"arc length of an outline of {len(spans)} spans",
        lambda: ours().length_mm,
        "svgpathtools, 1e-9",
        lambda: theirs().length(error=1e-9),
    )
    beside("the same", lambda: ours().length_mm, "fontTools, 1e-9", by_font_tools)
    beside(
        "40 places on it by arc length",
        lambda: [ours().place_at(s) for s in wanted],
        "svgpathtools ilength, 1e-9",
        lambda: [theirs().ilength(s, s_tol=1e-9 * whole, error=1e-9) for s in wanted],
    )


def craft() -> None:
    from patterns.drawing.figure import three_views
    from patterns.geometry.draft import draft
    from patterns.geometry.hanging import Hanging
    from patterns.geometry.walking import walk
    from patterns.rules.document import read_case
    from patterns.rules.hang import hang_of
    from patterns.rules.propose import propose
    from tests.rules.cases import ARMHOLE, sleeve
    from tests.rules.test_document import document

    cut = sleeve()
    hung = Hanging.of(cut, ARMHOLE, hang_of(cut, ARMHOLE))
    beside(
        "re-cut with all checks",
        lambda: walk(draft(cut, ARMHOLE), ARMHOLE, cut),
        "the draft alone",
        lambda: draft(cut, ARMHOLE),
    )
    beside(
        "three views of a sleeve",
        lambda: three_views(None, hung, side="left", scale=0.25),
        "the draft alone",
        lambda: draft(cut, ARMHOLE),
    )
    readings = (
        {"id": "a", "what": "pitch", "cuff_offset_mm": 63, "drop_mm": 600},
        {"id": "b", "what": "elbow_direction", "turn_deg": 9},
    )
    whole = document(*readings)
    beside(
        "readings of a sleeve to corrections",
        lambda: propose(read_case(whole)),
        "the draft alone",
        lambda: draft(cut, ARMHOLE),
    )
