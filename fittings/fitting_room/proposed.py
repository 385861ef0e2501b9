"""One proposal of a fitting, and what was decided of it: of a sleeve, or of the garment itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from fittings.models import Decision
from fittings.refusals import Refused
from patterns.rules.case import Case, Tolerances
from patterns.rules.correction import Correction
from patterns.rules.garment import as_far_as_the_inlay_reaches, by_another_amount
from patterns.rules.garment_correction import GarmentCorrection
from patterns.rules.propose import amended, as_far_as_it_goes, is_worth_cutting
from patterns.rules.report import correction_report

# Two amounts nearer than this are the same proposal.
SAME_MM = 0.05


class _Decided:
    """What was decided of a correction; stale: the readings have changed since."""

    decision: Decision | None

    @property
    def document(self) -> dict[str, Any]:
        raise NotImplementedError

    @property
    def is_stale(self) -> bool:
        return self.decision is not None and not _same(self.decision.proposal, self.document)

    @property
    def is_decided(self) -> bool:
        return self.decision is not None and not self.is_stale and not self.contested_by

    @property
    def contested_by(self) -> Sequence[Decision]:
        """What others said of it, unseen of the decision that stands: the fitter chooses."""
        return self.decision.unseen if self.decision and not self.is_stale else ()


@dataclass(frozen=True, kw_only=True)
class Proposed(_Decided):
    """One proposal for a sleeve."""

    case: Case
    correction: Correction
    decision: Decision | None = None

    @cached_property
    def document(self) -> dict[str, Any]:
        return correction_report(self.correction)

    @property
    def can_accept(self) -> bool:
        """Whether enough of it can be reached in this cloth to be worth cutting."""
        return is_worth_cutting(self.case, self.correction)

    def accepted(self) -> dict[str, Any]:
        """What is worked when it is accepted."""
        return correction_report(as_far_as_it_goes(self.case, self.correction))

    def amended(self, amount_mm: float) -> dict[str, Any]:
        """What is worked by another amount. Refuses GeometryRefused what the sleeve cannot take."""
        return correction_report(amended(self.case, self.correction, amount_mm))


@dataclass(frozen=True, kw_only=True)
class ProposedOnGarment(_Decided):
    """The same of a correction that is worked on the garment, and on no pattern."""

    correction: GarmentCorrection
    decision: Decision | None = None

    @cached_property
    def document(self) -> dict[str, Any]:
        return self.correction.report()

    @property
    def can_accept(self) -> bool:
        """Whether enough of it can be let out to be worth unpicking."""
        return self.correction.reachable_mm >= Tolerances().habit_mm

    def accepted(self) -> dict[str, Any]:
        return as_far_as_the_inlay_reaches(self.correction).report()

    def amended(self, amount_mm: float) -> dict[str, Any]:
        """By another amount. Refuses (Refused) one that is not above nothing."""
        if amount_mm <= 0:
            raise Refused("Give an amount above nothing; for the other way, log what is seen.")
        return by_another_amount(self.correction, amount_mm).report()


AnyProposed = Proposed | ProposedOnGarment


def _same(old: dict[str, Any], new: dict[str, Any]) -> bool:
    return bool(
        all(old.get(name) == new.get(name) for name in ("operation", "remedy"))
        and abs(old["shift_mm"] - new["shift_mm"]) <= SAME_MM
    )
