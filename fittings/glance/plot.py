"""Bars as SVG: told apart by hatching, never by colour alone; black ink on white paper."""

from __future__ import annotations

import io
from typing import Any, Final

import matplotlib as mpl
from django.core.cache import cache
from matplotlib.figure import Figure

from fittings.glance.sheet import Bars, Sheet

# The same bars give the same bytes.
mpl.rcParams["svg.hashsalt"] = "glance"
mpl.rcParams["hatch.linewidth"] = 0.8

INK: Final = "#1a1a1a"
# One for each series: grey, hatch. Readable on a black-and-white printer.
LOOKS: Final = (
    ("#4d4d4d", ""),
    ("#ffffff", "////"),
    ("#d9d9d9", "...."),
    ("#ffffff", "xxxx"),
    ("#999999", "----"),
    ("#ffffff", ""),
)
KEPT_SECONDS: Final = 7 * 24 * 3600
WIDTH_IN: Final = 7.0
LONGEST_LABEL: Final = 46


def plot(sheet: Sheet) -> bytes:
    """The bars of a sheet as SVG, drawn once for the same numbers."""
    key = f"glance-plot-{sheet.fingerprint}"
    known = cache.get(key)
    if isinstance(known, bytes):
        return known
    drawn = drawn_bars(sheet.bars)
    cache.set(key, drawn, KEPT_SECONDS)
    return drawn


def drawn_bars(bars: Bars) -> bytes:
    figure = Figure(figsize=(WIDTH_IN, 1.1 + 0.42 * max(1, len(bars.labels))), layout="constrained")
    axes = figure.add_subplot()
    places = list(range(len(bars.labels)))
    behind = [0.0] * len(places)
    for (name, values), (grey, hatch) in zip(bars.series, LOOKS, strict=False):
        axes.barh(
            places,
            values,
            left=behind,
            height=0.62,
            label=name,
            color=grey,
            edgecolor=INK,
            hatch=hatch,
            linewidth=1.0,
        )
        behind = [b + v for b, v in zip(behind, values, strict=True)]
    _whiskers(axes, bars, places)
    _dressed(axes, bars, places)
    out = io.BytesIO()
    figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue()


def _whiskers(axes: Any, bars: Bars, places: list[int]) -> None:
    if not bars.whiskers:
        return
    values = bars.series[0][1]
    low = [max(0.0, v - w[0]) for v, w in zip(values, bars.whiskers, strict=True)]
    high = [max(0.0, w[1] - v) for v, w in zip(values, bars.whiskers, strict=True)]
    axes.errorbar(values, places, xerr=[low, high], fmt="none", ecolor=INK, elinewidth=5, capsize=0)
    axes.errorbar(
        values, places, xerr=[low, high], fmt="none", ecolor="#ffffff", elinewidth=2.4, capsize=0
    )


def _dressed(axes: Any, bars: Bars, places: list[int]) -> None:
    axes.set_yticks(places, [_short(label) for label in bars.labels], fontsize=10, color=INK)
    axes.invert_yaxis()
    axes.set_xlabel(bars.axis, fontsize=10, color=INK)
    axes.tick_params(axis="x", labelsize=10, colors=INK)
    axes.tick_params(axis="y", length=0)
    axes.set_xlim(left=0)
    if bars.whiskers:
        axes.set_xlim(0, 1)
        axes.xaxis.set_major_formatter(mpl.ticker.PercentFormatter(1.0))
    else:
        axes.xaxis.set_major_locator(mpl.ticker.MaxNLocator(integer=True))
    axes.spines[["top", "right", "left"]].set_visible(False)
    if len(bars.series) > 1:
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1.0),
            ncols=min(3, len(bars.series)),
            frameon=False,
            fontsize=10,
            handlelength=1.8,
        )


def _short(label: str) -> str:
    return label if len(label) <= LONGEST_LABEL else f"{label[: LONGEST_LABEL - 1]}…"
