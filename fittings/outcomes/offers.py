"""Which of the shop's own shares are worth offering to the owner, and why the others are not.

Pure: counted outcomes come in. Of twenty shops in which the law holds, one at most is ever made an
offer: the interval that must leave the law out is widened by how many shares are looked at
(Bonferroni; half of it for the whole shop, half for its parts), and so that it may be looked at
after every garment (the mixture bound of Robbins, Statistical Methods Related to the Law of the
Iterated Logarithm, 1970, from memory). A share of a cloth or a maker must leave out what holds for
the whole shop.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import NormalDist
from typing import Final

from fittings.outcomes.factors import LAW, Came, Pooled, Read, held_to_law, share, spread_of

LEAST_COATS: Final = 8
LEAST_READS: Final = 12
LEAST_DIFFERENCE: Final = 0.05
LOWEST: Final = 0.5
HIGHEST: Final = 1.5
ERROR: Final = 0.05
LEAST_READ_AGAIN: Final = 0.5
# How far shops are thought to lie from the law (1 sigma); the bound is narrowest near it.
LIKELY: Final = 0.15
SUREST: Final = 1.0 - 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The counted outcomes of one rule, in the whole shop (`split_by` "") or a part of it."""

    rule: str
    split_by: str = ""
    split: str = ""
    split_words: str = ""
    came: tuple[Came, ...] = ()

    @property
    def key(self) -> tuple[str, str, str]:
        return self.rule, self.split_by, self.split

    @property
    def coats(self) -> int:
        return len({one.coat for one in self.came})


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAgain:
    """Of so many corrections worked on garments that were fitted again, how many were read."""

    worked: int
    read: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A share as the outcomes give it, held towards the law (`held`); `refusal`: why it is not
    offered, "" where it is."""

    group: Group
    found: Pooled | None = None
    held: float = LAW
    reference: float = LAW
    refusal: str = ""
    interval: tuple[float, float] = field(default=(0.0, 0.0))

    @property
    def is_offered(self) -> bool:
        return not self.refusal


def offers(
    groups: Iterable[Group],
    reads: Mapping[str, Sequence[Read]],
    read_again: Mapping[str, ReadAgain],
) -> list[Offer]:
    """Every group answered, whole shop first; `reads` are the first readings of each rule."""
    found, refused = [], []
    for group in groups:
        if why := _too_little(group, reads.get(group.rule, ()), read_again.get(group.rule)):
            refused.append(Offer(group=group, refusal=why))
        else:
            found.append((group, share(group.came, spread_of(reads[group.rule]))))
    whole = [pair for pair in found if not pair[0].split_by]
    parts = [pair for pair in found if pair[0].split_by]
    law = dict.fromkeys((group.rule for group, _ in whole), LAW)
    answered = _answered(whole, law, ERROR / 2.0 / max(1, len(whole)))
    shop = law | {o.group.rule: o.held for o in answered if o.is_offered}
    for kind in ("cloth", "maker"):
        some = [pair for pair in parts if pair[0].split_by == kind]
        answered += _answered(some, shop, ERROR / 2.0 / max(1, len(parts)))
    return sorted([*answered, *refused], key=lambda o: o.group.key)


def _too_little(group: Group, reads: Sequence[Read], again: ReadAgain | None) -> str:
    if group.coats < LEAST_COATS or len(reads) < LEAST_READS:
        return f"Too few yet: {group.coats} garments read again, {LEAST_COATS} are needed."
    if again is not None and again.read < LEAST_READ_AGAIN * again.worked:
        return (
            f"Only {again.read} of {again.worked} such corrections were read again at a later "
            "fitting. What was not read may have come right: read it again even where it looks "
            "right."
        )
    return ""


def _answered(
    found: Sequence[tuple[Group, Pooled]], references: Mapping[str, float], error: float
) -> list[Offer]:
    """Shares held together towards what is known before: the law, or the whole shop's share."""
    about = {group.key: references[group.rule] for group, _ in found}
    apart = [
        Pooled(value=p.value - about[g.key], error=p.error, tau=p.tau, count=p.count)
        for g, p in found
    ]
    held = held_to_law(apart, 0.0)
    return [
        _offer(group, one, about[group.key], about[group.key] + away, error)
        for (group, one), away in zip(found, held, strict=True)
    ]


def surety(sigma: float, error: float) -> float:
    """How sure an interval must be so that, looked at ever again while `sigma` (1 sigma of the
    share) shrinks, it misses the truth at most `error` of the time."""
    known = (LIKELY / sigma) ** 2
    bound = math.sqrt((1.0 + 1.0 / known) * math.log((1.0 + known) / error**2))
    return min(SUREST, 2.0 * NormalDist().cdf(bound) - 1.0)


def _offer(group: Group, found: Pooled, reference: float, held: float, error: float) -> Offer:
    low, high = found.interval(surety(found.error, error))
    what = "the law" if reference == LAW else "the whole shop's share"
    why = ""
    if low <= reference <= high:
        why = f"No difference from {what} that could not be chance."
    elif abs(held - reference) < LEAST_DIFFERENCE:
        why = f"Less than {LEAST_DIFFERENCE:.0%} from {what}: not worth a change."
    elif not LOWEST <= held <= HIGHEST:
        why = (
            f"A share of {held:.2f} is no matter of habit: look for what is done differently "
            "from the ticket before anything is scaled."
        )
    return Offer(
        group=group,
        found=found,
        held=held,
        reference=reference,
        refusal=why,
        interval=found.interval(),
    )
