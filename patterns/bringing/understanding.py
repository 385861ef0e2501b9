"""A drawing brought in made into one side of a pattern, with what is to be told about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final, TypeVar

from patterns.bringing.armhole import armhole_document
from patterns.bringing.brought import Brought, NotBroughtIn
from patterns.bringing.laying import lay
from patterns.bringing.measuring import Pieces, laid_together, measured
from patterns.bringing.names import ARMHOLE, NOTCHES
from patterns.geometry.following import Marked
from patterns.geometry.piece import TOP, UNDER
from patterns.geometry.refusals import GeometryRefused
from patterns.rules.outline import SEAMS, HeadNotch, Outline
from patterns.rules.pattern import SidePattern
from patterns.rules.pieces import two_piece

T = TypeVar("T")

_TOLD_MM: Final = 3.0
_MOST_EASE_MM: Final = 70.0  # of a head; trade practice, no source: past it look again


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """A side of a pattern as it would be kept, and the remarks that belong to it."""

    side: SidePattern
    remarks: tuple[str, ...]


def understand(brought: Brought, side: str, current: SidePattern) -> Understood:
    """The side ("left", "right" or "") of a drawing; what it does not hold is taken from `current`.

    Refuses NotBroughtIn what is missing, out of size, or beyond what our rules can alter.
    """
    remarks = list(brought.remarks)
    lines = {name: brought.of(side, name) for name in (TOP, UNDER, ARMHOLE)}
    if bool(lines[TOP]) != bool(lines[UNDER]):
        there, missing = (TOP, UNDER) if lines[TOP] else (UNDER, TOP)
        raise NotBroughtIn(
            f"The file has the {there} and no {missing}; a sleeve needs both, of one side."
        )
    kept = current
    pieces = None
    if lines[TOP]:
        pieces = laid_together(lay(TOP, lines[TOP]), lay(UNDER, lines[UNDER]))
    if lines[ARMHOLE]:
        mirrored = pieces.top.mirrored if pieces else side == "left"
        document, told = _refusing(lambda: armhole_document(lines[ARMHOLE], mirrored=mirrored))
        kept = replace(kept, armhole_document=document)
        remarks += told
        if pieces is None and len(told) > 0:
            way = "left" if mirrored else "right"
            remarks.append(f"The front of the armhole was taken to lie to the {way} of the paper.")
    else:
        remarks.append("No armhole is in the file; that of the pattern is kept.")
    if pieces is None:
        remarks.append("No sleeve is in the file; that of the pattern is kept.")
    else:
        sleeve = _refusing(lambda: measured(pieces, kept.armhole))
        base = SidePattern(armhole_document=kept.armhole_document, sleeve=sleeve)
        outline = _outline(pieces, base)
        kept = replace(base, outline=outline.written())
        remarks += [*pieces.remarks, *_told(pieces)]
    remarks += _refusing(lambda: _checked(kept))
    return Understood(side=kept, remarks=tuple(dict.fromkeys(remarks)))


def _refusing(work: Callable[[], T]) -> T:
    """What the geometry refuses said as what the file lacks."""
    try:
        return work()
    except GeometryRefused as refused:
        raise NotBroughtIn(
            f"The lines were read, but our draft cannot be made beside them: {refused}"
        ) from None


def _outline(pieces: Pieces, base: SidePattern) -> Outline:
    edges: dict[str, dict[str, Marked]] = {}
    for piece in (pieces.top, pieces.under):
        of = {name: Marked.at(path) for name, path in piece.edges.items()}
        for seam in SEAMS:
            of[seam] = Marked.at(piece.edges[seam], pieces.marks[piece.name, seam])
        edges[piece.name] = of
    edges[TOP]["head"] = Marked.at(pieces.top.edges["head"], [pieces.heads.apex_share])
    return Outline(edges=edges, notches=_notches(pieces), base=base.written())


def _notches(pieces: Pieces) -> tuple[HeadNotch, ...]:
    """The head's notches by our names; those not drawn at the crown and at the ends of the head."""
    drawn = {notch.name.removesuffix(" notch"): notch for notch in pieces.heads.notches}
    usual = {"crown": pieces.heads.apex_share, "front pitch": 1.0, "back pitch": 0.0}
    return tuple(
        replace(drawn[name], name=name)
        if name in drawn
        else HeadNotch(name=name, piece=TOP, share=share)
        for name, share in usual.items()
    )


def _told(pieces: Pieces) -> Iterator[str]:
    for seam in SEAMS:
        top, under = (Marked.at(one.edges[seam]).length_mm for one in (pieces.top, pieces.under))
        if abs(under - top) > _TOLD_MM:
            longer, shorter = (UNDER, TOP) if under > top else (TOP, UNDER)
            yield (
                f"The {longer}'s {seam} is {abs(under - top):.0f} mm longer than the {shorter}'s; "
                "it is kept as it is, to be eased or stretched."
            )
    drawn = {notch.name for notch in pieces.heads.notches}
    missing = [name for name in NOTCHES[:3] if name not in drawn]
    if missing:
        yield (
            f"Not drawn on the head: {', '.join(missing)}; put at its highest place or at its ends."
        )


def _checked(side: SidePattern) -> list[str]:
    """Remarks on the whole. Refuses GeometryRefused a side whose draft cannot be made beside it."""
    pieces = two_piece(side)
    if not 0.0 <= pieces.head_ease_mm <= _MOST_EASE_MM:
        return [
            f"The whole head is {abs(pieces.head_ease_mm):.0f} mm "
            f"{'longer' if pieces.head_ease_mm > 0 else 'shorter'} than the armhole; look whether "
            "both belong together."
        ]
    return []
