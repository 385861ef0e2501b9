"""A layout as a DXF R2010 file in mm; what is in it says FORMATS.md.

The cubic Bezier spans of a line become one SPLINE of degree 3 with threefold knots at the joints,
which is the same curve and no approximation. The cut line is a closed LWPOLYLINE within 0.01 mm
of the parallel curve. DXF counts y upward: the sheet's lower edge is y = 0.
"""

from __future__ import annotations

from io import StringIO
from typing import Any, Final

import numpy as np
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.lldxf.const import LINEWEIGHT_DEFAULT

from patterns.drawing.full_scale.layers import PENS, Curve, Item, Layer, Ring, Words
from patterns.drawing.full_scale.layout import Layout
from patterns.geometry.arclength import FloatArray

_DASHES: Final = {Layer.OLD: "OLD_LINE", Layer.LEVEL: "LEVEL_LINE"}
_ALIGNED: Final = {
    "start": TextEntityAlignment.MIDDLE_LEFT,
    "middle": TextEntityAlignment.MIDDLE_CENTER,
    "end": TextEntityAlignment.MIDDLE_RIGHT,
}
_CAPITALS = 0.7  # height of a capital, of the size of the words


def dxf_file(layout: Layout, title: str) -> str:
    """One block for each piece, its lines on the layers, put in its place by one INSERT."""
    document = new("R2010", units=units.MM)
    document.header["$MEASUREMENT"] = 1
    document.header.custom_vars.append("TITLE", title)
    _layers(document)
    for drawn in layout.drawings:
        block = document.blocks.new(name=drawn.key.upper().replace("-", "_"))
        corner = np.array([drawn.box_mm[0], drawn.box_mm[3]])
        for item in drawn.items:
            _add(block, item.moved(-corner))
        place = (float(corner[0]), layout.height_mm - float(corner[1]))
        document.modelspace().add_blockref(block.name, place)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue()


def _layers(document: Drawing) -> None:
    for layer, name in _DASHES.items():
        drawn, left_out = PENS[layer].dash_mm
        document.linetypes.add(name, pattern=[drawn + left_out, drawn, -left_out])
    for layer in Layer:
        weight = round(100 * PENS[layer].width_mm) if layer in PENS else LINEWEIGHT_DEFAULT
        line = _DASHES.get(layer, "Continuous")
        document.layers.add(layer.value, linetype=line, lineweight=weight)


def _add(block: BlockLayout, item: Item) -> None:
    on: dict[str, Any] = {"layer": item.layer.value}
    if isinstance(item, Words):
        text = block.add_text(item.text, height=item.size_mm * _CAPITALS, dxfattribs=on)
        text.set_placement(_up(item.at_mm), align=_ALIGNED[item.anchor])
    elif isinstance(item, Ring):
        block.add_lwpolyline(_up(item.points_mm), close=True, dxfattribs=on)
    elif isinstance(item, Curve):
        _curve(block, item, on)
    else:
        for start, end in item.strokes_mm:
            block.add_line(_up(start), _up(end), dxfattribs=on)


def _curve(block: BlockLayout, curve: Curve, on: dict[str, Any]) -> None:
    spans = curve.spans_mm
    if curve.straight:
        block.add_line(_up(spans[0, 0]), _up(spans[0, 3]), dxfattribs=on)
        return
    points = np.concatenate([spans[0, :1], spans[:, 1:].reshape(-1, 2)])
    count = len(spans)
    knots = [0.0, *np.repeat(np.arange(count + 1.0), 3), float(count)]
    block.add_open_spline(_up(points), degree=3, knots=knots, dxfattribs=on)


def _up(points_mm: FloatArray) -> Any:
    """Points (..., 2) with y counted upward, as plain numbers."""
    return (points_mm * np.array([1.0, -1.0])).tolist()
