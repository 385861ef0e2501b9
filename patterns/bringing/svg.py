"""An SVG file read into named lines in mm. Nothing in it is run, fetched or expanded."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final
from xml.etree.ElementTree import Element, ParseError  # names; defusedxml reads # nosec B405

import numpy as np
from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring

from patterns.bringing.brought import Brought, Named, NotBroughtIn, check_lines, check_size
from patterns.bringing.names import Called
from patterns.bringing.svg_lines import lines_of
from patterns.bringing.svg_place import mm_per_unit, transform
from patterns.geometry.arclength import FloatArray

_DEEPEST: Final = 40
_NOT_READ: Final = ("defs", "symbol", "use", "clipPath", "mask", "pattern", "marker", "svg")
_ACTIVE: Final = ("script", "foreignObject", "iframe", "handler", "set", "animate")
_OUTSIDE = re.compile(r"@import|url\(\s*['\"]?\s*(?!#)", re.IGNORECASE)


def read_svg(data: bytes) -> Brought:
    """The named lines of an SVG file. Refuses NotBroughtIn, in a sentence."""
    check_size(data)
    root = _root(data)
    _check_safe(root, 0)
    size = mm_per_unit(root)
    lines = tuple(_walk(root, size, Called()))
    check_lines(lines)
    return Brought(lines=lines)


def _root(data: bytes) -> Element:
    try:
        root: Element = fromstring(data, forbid_dtd=True)
    except DefusedXmlException:
        raise NotBroughtIn(
            "The file has a DOCTYPE or entities, which can hide things; save it as plain SVG "
            "without them."
        ) from None
    except (ParseError, ValueError, LookupError) as fault:
        raise NotBroughtIn(f"This is no SVG file that can be read ({fault}).") from None
    if _tag(root) != "svg":
        raise NotBroughtIn("The file is XML but no SVG drawing; save the drawing as SVG.")
    return root


def _tag(element: Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _check_safe(element: Element, depth: int) -> None:
    """Refuse what could run or reach outside the file, and what is nested beyond reason."""
    if depth > _DEEPEST:
        raise NotBroughtIn(f"Groups lie more than {_DEEPEST} deep in each other; ungroup them.")
    if _tag(element) in _ACTIVE:
        raise NotBroughtIn("The file has a script or moving parts in it; save a plain drawing.")
    for name, value in element.attrib.items():
        local = name.rpartition("}")[2].lower()
        if local.startswith("on"):
            raise NotBroughtIn("The file has scripts in it; save a plain drawing.")
        if (local in ("href", "src") and not value.strip().startswith("#")) or _OUTSIDE.search(
            value
        ):
            raise NotBroughtIn(
                "The file points to something outside itself, such as a picture; take it out and "
                "save again."
            )
    if _tag(element) == "style" and _OUTSIDE.search("".join(element.itertext())):
        raise NotBroughtIn("The file's style sheet points outside the file; save a plain drawing.")
    for child in element:
        _check_safe(child, depth + 1)


def _walk(element: Element, matrix: FloatArray, called: Called) -> Iterator[Named]:
    """Named lines below an element; `matrix` (3, 3) takes its own units to mm on the sheet."""
    called = _told(element, called)
    for child in element:
        if _tag(child) in _NOT_READ:
            continue
        own = transform(child.get("transform", ""))
        now = matrix @ own
        for spans in lines_of(_tag(child), child.attrib):
            said = _told(child, called)
            if said.wanted:
                yield Named(
                    side=said.side,
                    piece=said.piece,
                    part=said.part,
                    layer=said.layer,
                    spans_mm=np.asarray(spans @ now[:2, :2].T + now[:2, 2]),
                )
        yield from _walk(child, now, called)


def _told(element: Element, called: Called) -> Called:
    title = next((child.text or "" for child in element if _tag(child) == "title"), "")
    for name in (title, element.get("id", ""), *_labels(element)):
        called = called.told(name)
    return called


def _labels(element: Element) -> Iterator[str]:
    for name, value in element.attrib.items():
        if name.rpartition("}")[2] in ("label", "data-layer", "data-name"):
            yield value
