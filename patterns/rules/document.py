"""The suggestion document: JSON read into a case, faults named by their JSON path.

The form is laid down in `suggestion.schema.json` (JSON Schema, draft 2020-12). Lengths in mm,
angles in degrees.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, Final

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

from patterns.geometry.armhole import Armhole
from patterns.geometry.refusals import GeometryRefused
from patterns.geometry.sleeve import Girths, IronedShare, Levels, Sleeve
from patterns.rules.case import (
    Body,
    Case,
    ClearsWhen,
    Crease,
    CreaseKind,
    CuffOffset,
    ElbowDirection,
    FindingSeen,
    HindarmShows,
    InlayPlace,
    Length,
    PitchAngle,
    Reading,
    Side,
    Slack,
    Stage,
    SwingTest,
    Tolerances,
    Where,
)
from patterns.rules.catalogue import FINDINGS, Finding, canonical

Document = Mapping[str, Any]

LEAST_GIRTH_MM: Final = 150
MOST_GIRTH_MM: Final = 1500


class BadDocument(ValueError):
    """The document is not one that can be answered; `faults` has a line for each fault."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)


@cache
def schema() -> dict[str, Any]:
    text = files("patterns.rules").joinpath("suggestion.schema.json").read_text("utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded


@cache
def _validator(part: str) -> Draft202012Validator:
    whole = schema()
    wanted = {
        "": whole,
        "reading": whole["properties"]["readings"]["items"],
        "armhole": whole["properties"]["armhole"],
        "sleeve": whole["properties"]["sleeve"],
    }
    return Draft202012Validator(wanted[part])


def read_json(text: str) -> Any:
    """Parse JSON as the standard has it: no NaN, no infinity. Refuses BadDocument."""

    def refuse(word: str) -> None:
        raise BadDocument([f"$: {word} is not a number that JSON knows"])

    try:
        return json.loads(text, parse_constant=refuse, object_pairs_hook=_once)
    except json.JSONDecodeError as fault:
        raise BadDocument(
            [f"$: not JSON at line {fault.lineno}, column {fault.colno}: {fault.msg}"]
        ) from None
    except RecursionError:
        raise BadDocument(["$: nested too deeply"]) from None
    except ValueError:
        raise BadDocument(["$: a number with too many digits"]) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object whose keys are all different: said twice, nobody knows which was meant."""
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise BadDocument([f"$: the key {twice!r} stands twice in one object"])
    return found


def read_case(document: Any) -> Case:
    """The case of a suggestion document. Refuses BadDocument with every fault found."""
    if isinstance(document, dict) and isinstance(document.get("stage"), str):
        stage = document["stage"].lower().removesuffix(" fitting")
        document = {**document, "stage": stage}
    faults = _faults(document, "")
    if faults:
        raise BadDocument(faults)
    faults = list(_unknown_findings(document["readings"])) + list(_doubled(document["readings"]))
    faults += _impossible(document["sleeve"])
    armhole = _kept(lambda: read_armhole(document["armhole"]), "$.armhole", faults)
    if armhole is not None and not LEAST_GIRTH_MM <= armhole.girth_mm <= MOST_GIRTH_MM:
        faults.append(
            f"$.armhole.points_mm: the armhole is {armhole.girth_mm:.0f} mm round, not between "
            f"{LEAST_GIRTH_MM} and {MOST_GIRTH_MM}; are the points in mm?"
        )
    if armhole is not None:
        faults += _too_deep(document["readings"], armhole.pitch_width_mm)
    if armhole is None or faults:
        raise BadDocument(faults)
    tolerances = document.get("tolerances_mm", {})
    return Case(
        side=Side(document["side"]),
        stage=Stage(document.get("stage", Stage.BASTE.value)),
        armhole=armhole,
        sleeve=read_sleeve(document["sleeve"]),
        readings=tuple(read_reading(reading) for reading in document["readings"]),
        inlays_mm={InlayPlace(p): float(mm) for p, mm in document.get("inlays_mm", {}).items()},
        body=Body(**document.get("body", {})),
        tolerances=Tolerances(**{f"{name}_mm": mm for name, mm in tolerances.items()}),
    )


def reading_faults(document: Any) -> list[str]:
    """What is wrong with one reading by itself, a line each with its JSON path; [] when sound."""
    faults = _faults(document, "reading")
    return faults or [*_unknown_findings([document])]


def _faults(document: Any, part: str) -> list[str]:
    found = sorted(_validator(part).iter_errors(document), key=lambda e: list(map(str, e.path)))
    return [f"{error.json_path}: {_plain(error)}" for error in found]


def _plain(error: ValidationError) -> str:
    """What is wrong, said once."""
    if error.validator == "required":
        return error.message.replace("is a required property", "is missing")
    if error.schema is False or error.validator is None:
        return "does not belong here together with the other keys"
    if len(error.message) > 200:
        return f"{error.message[:160]} ..."
    return error.message


def _impossible(sleeve: Document) -> Iterator[str]:
    """What no sleeve can be: an elbow below the cuff, a seam past a quarter of its girth."""
    if sleeve.get("elbow_mm", 0) >= sleeve["length_mm"]:
        yield "$.sleeve.elbow_mm: the elbow lies above the cuff; length_mm is crown to cuff"
    girths = {"head": "biceps", "elbow": "elbow", "cuff": "cuff"}
    for seam in ("hindarm_shift_mm", "forearm_shift_mm"):
        for level, mm in sleeve.get(seam, {}).items():
            quarter = sleeve["girth_mm"][girths[level]] / 4
            if abs(mm) > quarter:
                yield (
                    f"$.sleeve.{seam}.{level}: {mm:g} mm is past a quarter of the sleeve's girth "
                    f"there ({quarter:g} mm); move it less"
                )


def _unknown_findings(readings: Sequence[Document]) -> Iterator[str]:
    for index, reading in enumerate(readings):
        if reading["what"] == "finding":
            key = "finding" if "finding" in reading else "id"
            id_ = canonical(str(reading[key]))
            if id_ not in FINDINGS:
                yield (
                    f"$.readings[{index}].{key}: {reading[key]!r} is not in the catalogue; "
                    f"it has {', '.join(FINDINGS)}"
                )
            elif reading.get("row", {}).get("id", id_) != id_:
                yield f"$.readings[{index}].row.id: the row is not that of {reading[key]!r}"


def _doubled(readings: Sequence[Document]) -> Iterator[str]:
    seen: set[str] = set()
    for index, reading in enumerate(readings):
        if not str(reading["id"]).isprintable():
            yield f"$.readings[{index}].id: has signs that cannot be printed"
        if str(reading["id"]) in seen:
            yield f"$.readings[{index}].id: {reading['id']!r} names another reading already"
        seen.add(str(reading["id"]))


def _too_deep(readings: Sequence[Document], pitch_width_mm: float) -> list[str]:
    half = pitch_width_mm / 2.0
    return [
        f"$.readings[{index}].depth_mm: {reading['depth_mm']:g} mm of slack is more than half the "
        f"distance between the pitches ({half:.0f} mm); pin it again"
        for index, reading in enumerate(readings)
        if reading["what"] == "slack" and reading["depth_mm"] >= half
    ]


def _kept(make: Callable[[], Armhole], path: str, faults: list[str]) -> Armhole | None:
    try:
        return make()
    except GeometryRefused as refused:
        faults.append(f"{path}: {refused}")
        return None


def read_armhole(document: Document) -> Armhole:
    """Refuses GeometryRefused where no armhole can be made of it."""
    points = document.get("points_mm")
    measures = {key: mm for key, mm in document.items() if key != "points_mm" and mm is not None}
    return _armhole(
        tuple((x, z) for x, z in points) if points else None, tuple(sorted(measures.items()))
    )


@lru_cache(maxsize=256)
def _armhole(
    points_mm: tuple[tuple[float, float], ...] | None, measures: tuple[tuple[str, float], ...]
) -> Armhole:
    """The same armhole is asked for many times on one page, and solving it takes a while."""
    if points_mm is not None:
        return Armhole.from_points(points_mm, **dict(measures))
    return Armhole.from_measures(**dict(measures))


def read_sleeve(document: Document) -> Sleeve:
    nested: Final = {
        "girth_mm": Girths,
        "hindarm_shift_mm": Levels,
        "forearm_shift_mm": Levels,
        "ironed_share": IronedShare,
    }
    return Sleeve(**{key: nested[key](**v) if key in nested else v for key, v in document.items()})


def read_reading(document: Document) -> Reading:
    """One reading of a document that the schema found sound; how it was taken changes nothing."""
    given = {key: v for key, v in document.items() if key not in {"id", "what", "detail"}}
    return _READ[document["what"]](str(document["id"]), given)


def _pitch(id_: str, given: dict[str, Any]) -> Reading:
    if "cuff_offset_mm" in given:
        return CuffOffset(id=id_, offset_mm=given.pop("cuff_offset_mm"), **given)
    return PitchAngle(id=id_, **given)


def _slack(id_: str, given: dict[str, Any]) -> Reading:
    return Slack(id=id_, where=Where(given.pop("where")), **given)


def _swing(id_: str, given: dict[str, Any]) -> Reading:
    return SwingTest(id=id_, clears_when_arm_goes=ClearsWhen(given["clears_when_arm_goes"]))


def _crease(id_: str, given: dict[str, Any]) -> Reading:
    return Crease(id=id_, where=Where(given["where"]), kind=CreaseKind(given["kind"]))


def _finding(id_: str, given: dict[str, Any]) -> Reading:
    finding = canonical(given.get("finding", id_))
    kept = Finding.read(given["row"]) if "row" in given else None
    return FindingSeen(id=id_, finding=finding, amount_mm=given.get("amount_mm"), kept=kept)


_READ: Final[Mapping[str, Callable[[str, dict[str, Any]], Reading]]] = {
    "pitch": _pitch,
    "slack": _slack,
    "swing_test": _swing,
    "crease": _crease,
    "elbow_direction": lambda id_, given: ElbowDirection(id=id_, **given),
    "hindarm_shows": lambda id_, given: HindarmShows(id=id_, **given),
    "length": lambda id_, given: Length(id=id_, **given),
    "finding": _finding,
}
