"""Corrections that recur: what the sleeves of one cutter's block keep asking for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from django.db.models import Avg, Count, F, Q

from fittings.glance.period import Period
from fittings.glance.sheet import Bars, Sheet
from fittings.models import Need
from fittings.outcomes.said import amount
from fittings.outcomes.student import wilson

LEAST_MM: Final = 2.0
# Fewer customers than this say nothing of a block.
FEWEST: Final = 8
MOST_ROWS: Final = 40
UNNAMED: Final = "no block named"

# rule: (what sleeves need when the amount is above nothing, and below)
WAYS: Final = {
    "pitch": ("the cuff further forward", "the cuff further back"),
    "elbow-direction": ("the elbow turned outward", "the elbow turned inward"),
    "hindarm-shows": ("the hindarm seam further out", "the hindarm seam further in"),
    "length": ("more length", "less length"),
    "crown": ("a higher crown", "a lower crown"),
    "width": ("more width on each piece", "less width on each piece"),
    "bend": ("a longer hindarm", "a shorter hindarm"),
    "ease": ("more ease in the head", "less ease in the head"),
    "armhole-depth": ("a higher armhole", "a lower armhole"),
    "armhole-front": ("the armhole filled in front", "the armhole cleared in front"),
}


def recurring(period: Period, unit: str) -> Sheet:
    """Of the sleeves first read on a pattern as it was drafted, how many asked for the same.

    Two sleeves of one customer are not two witnesses: the interval is Wilson's with as many cases
    as there were customers. One query.
    """
    found = sorted(_asked(period), key=lambda row: (-row["carries"], -row["people"], row["block"]))
    found = found[:MOST_ROWS]
    return Sheet(
        slug="recurring",
        title="What the sleeves of a block keep asking for",
        said=tuple(_said(row, unit) for row in found),
        columns=(
            "Block, and what its sleeves need",
            "By, mm",
            "Sleeves",
            "Of sleeves read",
            "Customers",
            "Share",
            "95 % from",
            "95 % to",
            "Carried",
        ),
        rows=tuple(
            (
                f"{row['block']}: {row['way']}",
                round(row["by_mm"], 1),
                row["asked"],
                row["sleeves"],
                row["people"],
                f"{row['share']:.0%}",
                f"{row['low']:.0%}",
                f"{row['high']:.0%}",
                "yes" if row["carries"] else "not yet",
            )
            for row in found
        ),
        people=tuple(row["people"] for row in found),
        bars=Bars(
            labels=tuple(f"{row['block']}: {row['way']}" for row in found),
            series=(("share of sleeves", tuple(row["share"] for row in found)),),
            axis="share of the sleeves read, with its 95 % interval",
            whiskers=tuple((row["low"], row["high"]) for row in found),
        ),
        note=f"Carried: {FEWEST} customers at least, and more than half of the sleeves even at the "
        "lower end of the interval. Counted are first readings above noise and tolerance, on "
        "patterns as they were drafted. Interval: Wilson 1927, by customers.",
    )


def _asked(period: Period) -> Iterator[dict[str, Any]]:
    above = Q(need_mm__gt=LEAST_MM) & Q(need_mm__gt=F("sigma_mm"))
    below = Q(need_mm__lt=-LEAST_MM) & Q(need_mm__lt=-F("sigma_mm"))
    rows = (
        Need.objects.filter(
            period.within("fitting__held_on"),
            first=True,
            measured=True,
            fitting__pattern_version__isnull=False,
            fitting__pattern_version__tickets_causing=None,
            fitting__pattern_version__pattern__branched_from=None,
        )
        .values("rule", block=F("fitting__pattern_version__pattern__block"))
        .annotate(
            sleeves=Count("pk"),
            people=Count("fitting__order__customer", distinct=True),
            above=Count("pk", filter=above),
            below=Count("pk", filter=below),
            above_mm=Avg("need_mm", filter=above),
            below_mm=Avg("need_mm", filter=below),
        )
        .order_by("block", "rule")
    )
    for row in rows:
        ways = WAYS.get(row["rule"], ("more", "less"))
        for asked, by_mm, way in (
            (row["above"], row["above_mm"], ways[0]),
            (row["below"], row["below_mm"], ways[1]),
        ):
            if asked > 1:
                share = asked / row["sleeves"]
                low, high = wilson(share, row["people"])
                yield {
                    "block": row["block"] or UNNAMED,
                    "way": way,
                    "by_mm": abs(by_mm),
                    "asked": asked,
                    "sleeves": row["sleeves"],
                    "people": row["people"],
                    "share": share,
                    "low": low,
                    "high": high,
                    "carries": row["people"] >= FEWEST and low > 0.5,
                }


def _said(row: dict[str, Any], unit: str) -> str:
    """'Sleeves of the house block need the cuff further forward by 6.5 mm: 18 of 22 ...'"""
    if not row["carries"]:
        return ""
    return (
        f"Sleeves of the {row['block']} need {row['way']} by {amount(row['by_mm'], unit)}: "
        f"{row['asked']} of {row['sleeves']} sleeves, {row['people']} customers "
        f"({row['low']:.0%} to {row['high']:.0%} at 95 %)."
    )
