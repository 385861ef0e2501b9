"""A customer's measures through the years: a table of all sets, and a plot of what changed."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Final

from fittings.measures.plausible import mean_mm
from fittings.models import Customer, Measurement, MeasurementSet, MeasureName
from fittings.units import format_length

# Newest sets shown beside each other; more do not fit a tablet held upright.
SETS_SHOWN: Final = 6
# What changes on a grown person and moves the pattern; more lines would not be told apart.
PLOTTED: Final = ("chest_girth", "waist_girth", "hip_girth", "neck_girth", "upper_arm_girth")
MM_IN: Final = {"mm": 1.0, "cm": 10.0, "in": 25.4}

Line = tuple[str, tuple[tuple[dt.date, float], ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One measure: its mean in each set, oldest first (None: not taken), and the whole change."""

    label: str
    means_mm: tuple[Decimal | None, ...]
    change: str


def sets_of(customer: Customer) -> list[MeasurementSet]:
    """The newest sets, oldest of them first. Two queries."""
    newest = customer.measurement_sets.prefetch_related("measurements")[:SETS_SHOWN]
    return list(reversed(newest))


def table(sets: Sequence[MeasurementSet], unit: str) -> list[Row]:
    """Every measure that was taken in any of the sets, in the order of the measures."""
    means = [_means(one) for one in sets]
    rows = []
    for name in MeasureName:
        values = tuple(mean.get(name.value) for mean in means)
        if any(value is not None for value in values):
            rows.append(Row(label=name.label, means_mm=values, change=_change(values, unit)))
    return rows


def _means(one: MeasurementSet) -> dict[str, Decimal]:
    repeats: dict[str, list[Measurement]] = {}
    for reading in one.measurements.all():
        repeats.setdefault(reading.name, []).append(reading)
    return {name: mean_mm([r.value_mm for r in readings]) for name, readings in repeats.items()}


def _change(values: Sequence[Decimal | None], unit: str) -> str:
    taken = [value for value in values if value is not None]
    if len(taken) < 2:
        return "taken once"
    grown = taken[-1] - taken[0]
    size = format_length(abs(grown), unit)
    return "the same" if not grown else f"{size} {'more' if grown > 0 else 'less'}"


def lines(sets: Sequence[MeasurementSet]) -> tuple[Line, ...]:
    """What is plotted: of each measure taken twice or more, the change in mm since its first."""
    means = [(one.taken_on, _means(one)) for one in sets]
    found: list[Line] = []
    for name in PLOTTED:
        taken = [(day, float(mean[name])) for day, mean in means if name in mean]
        if len(taken) > 1:
            first = taken[0][1]
            label = str(MeasureName(name).label)
            found.append((label, tuple((day, value - first) for day, value in taken)))
    return tuple(found)


def content_hash(drawn: tuple[Line, ...], unit: str) -> str:
    return hashlib.sha256(repr((drawn, unit)).encode()).hexdigest()[:32]


# Width and height in inches of 96 CSS px, so that a letter of 10 points is 13 px where the picture
# is shown as large as it is drawn; a phone has a picture of its own.
WIDE_IN: Final = (8.0, 3.6)
NARROW_IN: Final = (3.7, 4.6)
LETTERS_PT: Final = 12.5
NARROW_LETTERS_PT: Final = 10.0


@lru_cache(maxsize=64)
def plot_svg(drawn: tuple[Line, ...], unit: str, *, narrow: bool = False) -> bytes:
    """The changes over time as SVG: told apart by marks and line styles, not by colour."""
    # Slow to import and wanted on this page only; never pyplot, which keeps figures in a worker.
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    styles = (("o", "-"), ("s", "--"), ("^", "-."), ("D", ":"), ("v", (0, (5, 1))))
    letters = NARROW_LETTERS_PT if narrow else LETTERS_PT
    with rc_context({"svg.hashsalt": "trends", "font.size": letters}):
        figure = Figure(figsize=NARROW_IN if narrow else WIDE_IN, layout="constrained")
        axes = figure.add_subplot()
        axes.axhline(0, color="0.6", linewidth=1)
        for (label, points), (mark, style) in zip(drawn, styles, strict=False):
            days, values = [_place(p[0]) for p in points], [p[1] / MM_IN[unit] for p in points]
            axes.plot(days, values, marker=mark, linestyle=style, color="black", label=label)
        axes.set_ylabel(f"change since the first, {unit}")
        axes.set_xticks(sorted({_place(day) for _, points in drawn for day, _ in points}))
        axes.xaxis.set_major_formatter(lambda value, _: _day(value))
        axes.tick_params(axis="x", rotation=60 if narrow else 30)
        axes.spines[["top", "right"]].set_visible(False)
        if narrow:
            figure.legend(loc="outside upper left", frameon=False)
        else:
            figure.legend(loc="outside right upper", frameon=False)
        out = io.BytesIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return out.getvalue()


START: Final = dt.date(1970, 1, 1)


def _place(day: dt.date) -> float:
    """Where a day stands on the axis: days since the start."""
    return float((day - START).days)


def _day(place: float) -> str:
    return f"{START + dt.timedelta(days=place):%b %Y}"
