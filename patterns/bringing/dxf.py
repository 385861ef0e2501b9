"""A DXF file read into named lines in mm."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from io import StringIO
from typing import Any, Final

import numpy as np
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.enums import InsertUnits
from ezdxf.filemanagement import read
from ezdxf.lldxf.const import DXFError
from ezdxf.path import Command, make_path

from patterns.bringing.brought import (
    Brought,
    Named,
    NotBroughtIn,
    check_lines,
    check_size,
    straight,
)
from patterns.bringing.names import ARMHOLE, LAYERS, NOTCHES, WORDS, Called
from patterns.geometry.arclength import FloatArray

_KINDS: Final = ("LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE")
_MOST_ENTITIES: Final = 20_000
# What comes of a line that is damaged; infinite and missing values among it.
_BROKEN: Final = (DXFError, ValueError, TypeError, LookupError, AttributeError, ArithmeticError)
_UNSAID_UNIT: Final = (
    "The file does not say its unit; its numbers were read as millimetres. Look at the sizes below."
)


def read_dxf(data: bytes) -> Brought:
    """The named lines of a DXF file. Refuses NotBroughtIn, in a sentence."""
    check_size(data)
    document = _document(data)
    try:
        factor, remarks = _mm_per_unit(document)
        lines = tuple(_lines(document, factor))
    except _BROKEN as fault:
        if isinstance(fault, NotBroughtIn):
            raise
        raise NotBroughtIn(f"A line of the DXF file cannot be read ({str(fault)[:80]}).") from None
    check_lines(lines)
    return Brought(lines=lines, remarks=remarks)


def _document(data: bytes) -> Drawing:
    if b"\0" in data:
        raise NotBroughtIn("This is a binary file; save the drawing as a text DXF file.")
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # a bad file is told on the page
    try:
        return read(StringIO(data.decode("utf-8", errors="replace").replace("\r\n", "\n")))
    except Exception:  # the library was written for whole files: anything may break in it
        raise NotBroughtIn(
            "This is no DXF file that can be read; save the drawing once more as DXF, or as SVG."
        ) from None


def _mm_per_unit(document: Drawing) -> tuple[float, tuple[str, ...]]:
    try:
        said = InsertUnits(int(document.header.get("$INSUNITS", 0)))
    except ValueError:
        said = InsertUnits.Unitless
    if said is InsertUnits.Unitless:
        return 1.0, (_UNSAID_UNIT,)
    return float(units.conversion_factor(said, InsertUnits.Millimeters)), ()


def _lines(document: Drawing, factor: float) -> Iterator[Named]:
    count = 0
    for entity in document.modelspace():
        called, inside = Called(), [entity]
        if entity.dxftype() == "INSERT":
            called, inside = Called().told(entity.dxf.name), list(_inserted(entity))
        for one in inside:
            count += 1
            if count > _MOST_ENTITIES:
                raise NotBroughtIn("The file has too many lines; save only sleeve and armhole.")
            said = _said(one, called)
            if one.dxftype() in _KINDS and said.wanted:
                yield from _named(one, said, factor)
            elif one.dxftype() == "TEXT" and called.piece == ARMHOLE:
                yield from _words(one, called, factor)


def _said(entity: Any, called: Called) -> Called:
    name = str(entity.dxf.layer)
    if called.piece and name.strip().upper() not in LAYERS:
        name = f"{called.piece} {name}" if not called.told(name).part else name
    return called.told(name)


def _inserted(insert: Any) -> Iterator[Any]:
    """The lines of a block in their place. Refuses rows of inserts and blocks within blocks."""
    if insert.mcount > 1:
        raise NotBroughtIn("A block is put in many times at once; put each piece in once.")
    block = insert.block()
    if block is None:
        return
    if any(entity.dxftype() == "INSERT" for entity in block):
        raise NotBroughtIn("A block has blocks in it; explode the inner ones and save again.")
    if len(block) > _MOST_ENTITIES:
        raise NotBroughtIn("A block has too many lines; save only sleeve and armhole.")
    yield from insert.virtual_entities()


def _named(entity: Any, said: Called, factor: float) -> Iterator[Named]:
    # DXF counts y upward, we count down the paper.
    scale = np.array([factor, -factor])
    for spans in _spans(make_path(entity)):
        yield Named(
            side=said.side,
            piece=said.piece,
            part=said.part,
            layer=said.layer,
            spans_mm=np.asarray(spans * scale),
        )


def _words(text: Any, called: Called, factor: float) -> Iterator[Named]:
    """Words that name a mark of the armhole, as a point where they stand."""
    said = called.told(str(text.dxf.text)[:80])
    if said.part in NOTCHES:
        at = _flat(text.get_placement()[1]) * np.array([factor, -factor])
        yield Named(
            side=said.side,
            piece=said.piece,
            part=said.part,
            layer=WORDS,
            spans_mm=np.broadcast_to(at, (1, 4, 2)).copy(),
        )


def _spans(path: Any) -> Iterator[FloatArray]:
    at, found = _flat(path.start), []
    for command in path.commands():
        end = _flat(command.end)
        match command.type:
            case Command.LINE_TO:
                found.append(straight([at, end])[0])
            case Command.CURVE3_TO:
                control = _flat(command.ctrl)
                found.append(np.array([at, (at + 2 * control) / 3, (end + 2 * control) / 3, end]))
            case Command.CURVE4_TO:
                found.append(np.array([at, _flat(command.ctrl1), _flat(command.ctrl2), end]))
            case Command.MOVE_TO:
                if found:
                    yield np.array(found)
                found = []
        at = end
    if found:
        yield np.array(found)


def _flat(vector: Any) -> FloatArray:
    return np.array([vector.x, vector.y], dtype=float)
