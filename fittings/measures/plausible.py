"""Is a set of measures believable? It tells, in plain words with numbers, and never blocks.

Sources: means and standard deviations from the ANSUR II public data (NATICK/TR-15/007, 2014, 4,082
men and 1,986 women); limits for repeated measures from ISO 20685 as tabulated in Anthropometry,
Apparel Sizing and Design, p. 41. The survey is of soldiers: a customer may well lie outside it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, NamedTuple

from fittings.models.measures import MeasureName as M
from fittings.units import format_length

Values = Mapping[str, Sequence[Decimal]]
"""Each measure's repeats in mm, by its name."""


class Spread(NamedTuple):
    mean_mm: Decimal
    sd_mm: Decimal
    note: str = ""


FLEXED: Final = " The survey measured the arm flexed: a relaxed one is less."
TO_RADIALE: Final = " The survey measured to the outer bone of the elbow."


def _spread(mean_mm: str, sd_mm: str, note: str = "") -> Spread:
    return Spread(Decimal(mean_mm), Decimal(sd_mm), note)


POPULATIONS: Final[dict[str, dict[str, Spread]]] = {
    "men": {
        M.STATURE: _spread("1756.2", "68.6"),
        M.CHEST_GIRTH: _spread("1058.7", "87.4"),
        M.SHOULDER_LENGTH: _spread("149.8", "10.5"),
        M.BACK_WIDTH: _spread("430.9", "35.2"),
        M.BACK_WAIST_LENGTH: _spread("477.6", "27.7"),
        M.UPPER_ARM_GIRTH: _spread("358.1", "34.6", FLEXED),
        M.WRIST_GIRTH: _spread("175.9", "9.0"),
        M.UPPER_ARM_LENGTH: _spread("335.2", "17.5", TO_RADIALE),
        M.SLEEVE_OUTSEAM: _spread("593.1", "30.8"),
    },
    "women": {
        M.STATURE: _spread("1628.5", "64.2"),
        M.CHEST_GIRTH: _spread("946.9", "82.7"),
        M.SHOULDER_LENGTH: _spread("135.4", "10.3"),
        M.BACK_WIDTH: _spread("373.4", "29.8"),
        M.BACK_WAIST_LENGTH: _spread("425.4", "26.4"),
        M.UPPER_ARM_GIRTH: _spread("305.6", "30.8", FLEXED),
        M.WRIST_GIRTH: _spread("154.8", "7.8"),
        M.UPPER_ARM_LENGTH: _spread("311.2", "17.2", TO_RADIALE),
        M.SLEEVE_OUTSEAM: _spread("543.6", "29.4"),
    },
}
ELBOW_SHARE: Final[dict[str, Decimal]] = {"men": Decimal("0.556"), "women": Decimal("0.563")}
ELBOW_SD: Final = Decimal("0.010")  # published for men; taken for women too
FAR: Final = 3  # standard deviations beyond which something is said
# How a tailor hears it: of a bell curve 1 in 740 lies further out on one side; said with room to
# spare, since girths of the survey are a little lopsided.
NEARLY_ALL: Final = "99 of 100"
WORDS: Final[Mapping[str, tuple[str, str]]] = {
    M.STATURE: ("taller", "shorter"),
    M.SHOULDER_LENGTH: ("longer", "shorter"),
    M.BACK_WIDTH: ("wider", "narrower"),
    M.BACK_WAIST_LENGTH: ("longer", "shorter"),
    M.UPPER_ARM_LENGTH: ("longer", "shorter"),
    M.SLEEVE_OUTSEAM: ("longer", "shorter"),
}

LARGE_GIRTHS: Final = frozenset({M.CHEST_GIRTH, M.WAIST_GIRTH, M.HIP_GIRTH, M.ARMSCYE_GIRTH})
SMALL_GIRTHS: Final = frozenset({M.NECK_GIRTH, M.UPPER_ARM_GIRTH, M.ELBOW_GIRTH, M.WRIST_GIRTH})
HEIGHTS: Final = frozenset({M.STATURE})
# Trade practice, no source: bones stay, girths come and go.
LENGTH_CHANGE: Final = 2  # times the repeat limit
GIRTH_CHANGE: Final = Decimal("0.05")  # of the earlier girth


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something worth a second look at one measure; `kind` says what it was held against."""

    measure: str
    kind: str  # "repeat", "population", "previous" or "elbow"
    text: str


def repeat_limit_mm(name: str) -> Decimal:
    """How far two readings of one measure may differ (ISO 20685)."""
    if name in LARGE_GIRTHS:
        return Decimal(9)
    return Decimal(4) if name in SMALL_GIRTHS or name in HEIGHTS else Decimal(5)


def mean_mm(repeats: Sequence[Decimal]) -> Decimal:
    return sum(repeats, Decimal(0)) / len(repeats)


def judge(
    values: Values,
    *,
    population: str = "",
    previous: Values | None = None,
    previous_on: str = "",
    unit: str = "cm",
) -> tuple[Remark, ...]:
    """All remarks on a set, measure by measure; `population` is "men", "women" or "" for none."""
    remarks: list[Remark | None] = []
    for name, repeats in values.items():
        remarks.append(against_repeat(name, repeats, unit=unit))
        remarks.append(against_population(name, mean_mm(repeats), population, unit=unit))
        if previous and name in previous:
            then = mean_mm(previous[name])
            remarks.append(
                against_previous(name, mean_mm(repeats), then, since=previous_on, unit=unit)
            )
    if M.UPPER_ARM_LENGTH in values and M.ARM_LENGTH in values:
        upper, whole = mean_mm(values[M.UPPER_ARM_LENGTH]), mean_mm(values[M.ARM_LENGTH])
        remarks.append(against_elbow(upper, whole, population, unit=unit))
    return tuple(remark for remark in remarks if remark)


def against_repeat(name: str, repeats: Sequence[Decimal], *, unit: str) -> Remark | None:
    apart, limit = max(repeats) - min(repeats), repeat_limit_mm(name)
    if apart <= limit:
        return None
    text = (
        f"The readings of {M(name).label.lower()} are {format_length(apart, unit)} apart; careful "
        f"ones differ by no more than {format_length(limit, unit)} (ISO 20685). Take a third."
    )
    return Remark(measure=name, kind="repeat", text=text)


def against_population(name: str, mm: Decimal, population: str, *, unit: str) -> Remark | None:
    spread = POPULATIONS.get(population, {}).get(name)
    if spread is None or abs(mm - spread.mean_mm) <= FAR * spread.sd_mm:
        return None
    larger, smaller = WORDS.get(name, ("larger", "smaller"))
    text = (
        f"{M(name).label} {format_length(mm, unit)}: "
        f"{larger if mm > spread.mean_mm else smaller} than on {NEARLY_ALL} {population} of the "
        f"survey, who have {format_length(spread.mean_mm, unit)} on average (ANSUR II, 2014)."
        f"{spread.note} Right for this figure? Then leave it; else measure once more."
    )
    return Remark(measure=name, kind="population", text=text)


def against_previous(
    name: str, now: Decimal, then: Decimal, *, since: str, unit: str
) -> Remark | None:
    girth = name in LARGE_GIRTHS or name in SMALL_GIRTHS
    allowed = then * GIRTH_CHANGE if girth else LENGTH_CHANGE * repeat_limit_mm(name)
    if abs(now - then) <= allowed:
        return None
    way = "more" if now > then else "less"
    when = f"last time ({since})" if since else "last time"
    text = (
        f"{M(name).label}: {format_length(abs(now - then), unit)} {way} than {when}: "
        f"{format_length(then, unit)} then, {format_length(now, unit)} now."
    )
    return Remark(measure=name, kind="previous", text=text)


def against_elbow(upper: Decimal, whole: Decimal, population: str, *, unit: str) -> Remark | None:
    usual = ELBOW_SHARE.get(population)
    if usual is None or abs(upper / whole - usual) <= FAR * ELBOW_SD:
        return None
    text = (
        f"Upper arm {format_length(upper, unit)} of an arm of {format_length(whole, unit)}: on "
        f"{NEARLY_ALL} {population} of the survey such an arm has its elbow "
        f"{format_length((usual - FAR * ELBOW_SD) * whole, unit)} to "
        f"{format_length((usual + FAR * ELBOW_SD) * whole, unit)} below the shoulder point, about "
        f"{format_length(usual * whole, unit)} (ANSUR II, 2014). One of the two lengths may be "
        "misread."
    )
    return Remark(measure=M.UPPER_ARM_LENGTH, kind="elbow", text=text)
