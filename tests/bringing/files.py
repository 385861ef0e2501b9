"""Files as others would send them: SVG written by hand, DXF written by ezdxf."""

from __future__ import annotations

from collections.abc import Mapping
from io import StringIO
from typing import Any

import numpy as np
from ezdxf.filemanagement import new

# One plain sleeve, mm, y down: cubic curves as x, y pairs; drawn by hand for these tests.
TOP: Mapping[str, str] = {
    "head": "M -95 95 C -80 20 -45 0 0 0 C 45 0 75 45 95 135",
    "hindarm": "M -95 95 C -95 200 -100 280 -85 360 C -70 440 -55 540 -40 640",
    "cuff": "M -40 640 L 92 622",
    "forearm": "M 95 135 C 95 200 70 280 72 360 C 75 440 85 530 92 622",
    "biceps line": "M -95 160 L 95 160",
    "elbow line": "M -110 356 L 90 356",
    "crown notch": "M 0 -10 L 0 5",
}
UNDER: Mapping[str, str] = {
    "head": "M -95 95 C -60 140 -30 160 10 160 C 45 160 75 150 95 135",
    "hindarm": TOP["hindarm"],
    "cuff": TOP["cuff"],
    "forearm": TOP["forearm"],
    "biceps line": TOP["biceps line"],
    "elbow line": TOP["elbow line"],
}
ARMHOLE: Mapping[str, str] = {
    # an ellipse of half axes 62 and 85, as two arcs
    "armhole": "M -62 0 A 62 85 0 0 1 62 0 A 62 85 0 0 1 -62 0 Z",
    "front pitch": "M 40 60 L 60 60",
    "back pitch": "M -70 -10 L -52 -10",
}
PIECES: Mapping[str, Mapping[str, str]] = {
    "top sleeve": TOP,
    "under sleeve": UNDER,
    "armhole": ARMHOLE,
}


def group(piece: str, lines: Mapping[str, str], *, transform: str = "") -> str:
    inside = "".join(f'<path data-name="{name}" d="{d}"/>' for name, d in lines.items())
    return f'<g id="{piece.replace(" ", "-")}" transform="{transform}">{inside}</g>'


def svg(
    body: str | None = None,
    *,
    size: str = 'width="600mm" height="800mm" viewBox="-300 -100 600 800"',
    **pieces: str,
) -> bytes:
    """All three pieces, each with a transform of its own where it is given one."""
    if body is None:
        body = "".join(
            group(name, lines, transform=pieces.get(name.replace(" ", "_"), ""))
            for name, lines in PIECES.items()
        )
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>'.encode()


def dxf(pieces: Mapping[str, Mapping[str, Any]], *, unit: int = 4, scale: float = 1.0) -> bytes:
    """Polylines (n, 2), y up, on layers named by piece and line."""
    document = new("R2010")
    document.header["$INSUNITS"] = unit
    for piece, lines in pieces.items():
        for name, points in lines.items():
            layer = f"{piece} {name}".upper().replace(" ", "_")
            document.modelspace().add_lwpolyline(
                (np.asarray(points) * scale).tolist(), dxfattribs={"layer": layer}
            )
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode()
