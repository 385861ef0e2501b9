"""What was entered at a fitting, in words, with lengths in the unit of whoever reads it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from fittings.models import Entry, EntryKind
from fittings.units import format_length
from patterns.rules.catalogue import FINDINGS, Finding, canonical
from patterns.rules.checks import check_name

Data = Mapping[str, Any]


def entry_said(entry: Entry, unit: str) -> str:
    """One entry as a sentence: 'Cuff: the arm stands 60 mm forward of the sleeve, ...'."""
    if entry.kind == EntryKind.READING:
        return _READINGS[entry.data["what"]](entry.data, unit)
    if entry.kind == EntryKind.FINDING:
        return _on_garment(entry.data, unit)
    if entry.kind == EntryKind.CHECK:
        state = "settled" if entry.data.get("state") == "settled" else "still open"
        return f"{check_name(str(entry.data.get('check', '')))}: {state}"
    return str(entry.data.get("text", ""))


def _pitch(data: Data, unit: str) -> str:
    if "cuff_offset_mm" in data:
        where = _standing(data["cuff_offset_mm"], format_length(abs(data["cuff_offset_mm"]), unit))
        drop = format_length(data["drop_mm"], unit)
        return f"Cuff: the arm stands {where}, {drop} below the armhole{_measured(data)}"
    where = _standing(data["angle_deg"], _degrees(data["angle_deg"]))
    return f"Pitch: the arm hangs {where}{_measured(data)}"


def _measured(data: Data) -> str:
    """That a photograph was measured, which is worth more than the eye."""
    return ", measured on a photograph" if "photograph" in data.get("detail", {}) else ""


def _standing(amount: float, said: str) -> str:
    if not amount:
        return "in line with the sleeve"
    return f"{said} {'forward of' if amount > 0 else 'behind'} the sleeve"


def _slack(data: Data, unit: str) -> str:
    return f"Slack at the {data['where']}: {format_length(data['depth_mm'], unit)} pins out"


def _swing(data: Data, unit: str) -> str:
    clears = data["clears_when_arm_goes"]
    if clears == "neither":
        return "Arm-swing test: the folds clear neither way"
    return f"Arm-swing test: the folds clear when the arm goes {clears}"


def _crease(data: Data, unit: str) -> str:
    kind = "slack or strain, cannot tell" if data["kind"] == "unknown" else data["kind"]
    return f"Crease at the {data['where']}: {kind}"


def _elbow(data: Data, unit: str) -> str:
    turn = data["turn_deg"]
    if not turn:
        return "Elbow: the arm's points where the sleeve's does"
    way = "out" if turn > 0 else "in"
    return f"Elbow: the arm's points {_degrees(turn)} further {way} than the sleeve's"


def _hindarm(data: Data, unit: str) -> str:
    return (
        f"Hindarm seam {_shown(data['by_mm'], unit)}, "
        f"wanted so that it {_shown(data['want_mm'], unit)}"
    )


def _shown(by_mm: float, unit: str) -> str:
    if not by_mm:
        return "lies on the edge"
    return f"{'shows' if by_mm > 0 else 'is hidden'} by {format_length(abs(by_mm), unit)}"


def _length(data: Data, unit: str) -> str:
    amount = data["amount_mm"]
    way = "longer" if amount > 0 else "shorter"
    return f"Length: {format_length(abs(amount), unit)} {way}"


def _finding(data: Data, unit: str) -> str:
    book = FINDINGS[canonical(str(data.get("finding", data.get("id"))))]
    finding = Finding.read(data["row"]) if "row" in data else book
    name = finding.name.capitalize()
    if data.get("amount_mm") is not None:
        return f"{name}: {format_length(data['amount_mm'], unit)}"
    if finding.usual_mm is None:
        return f"{name}: no amount read"
    return f"{name}: no amount read, the usual is {format_length(finding.usual_mm[1], unit)}"


def _on_garment(data: Data, unit: str) -> str:
    row = data["row"]
    said = [str(row["name"])]
    said += [r["answer"] for r in row["remedies"] if r["id"] == data.get("answer") and r["answer"]]
    if data.get("amount_mm") is not None:
        said.append(format_length(data["amount_mm"], unit))
    return ": ".join(said)


def _degrees(angle: float) -> str:
    return f"{abs(angle):g}°"


_READINGS: Final[Mapping[str, Callable[[Data, str], str]]] = {
    "pitch": _pitch,
    "slack": _slack,
    "swing_test": _swing,
    "crease": _crease,
    "elbow_direction": _elbow,
    "hindarm_shows": _hindarm,
    "length": _length,
    "finding": _finding,
}
