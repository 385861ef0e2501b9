"""One row of the garment's catalogue: what is seen, why, and what is done about it on which edge.

Lengths in mm, always >= 0: the direction is said in words. A row that has more than one remedy asks
which of them; the answers are what the fitter sees or tries.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final, Self

NO_SOURCE: Final = "common practice, no source"
EACH_SEAM: Final = "on each seam"
WHOLE: Final = "on the whole"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """Where the work is and which way it goes: piece, edge, direction in words; how it acts."""

    piece: str
    edge: str
    direction: str
    acts: str = EACH_SEAM
    measured_from: str = "seam line"


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """What is done. `answer` is what tells this remedy from the others of its row.

    `inlay` says where cloth is needed, in the trade's word; `inlay_at` which stretch of it, where
    what is used at one stretch is still there at another (see `Remedy.account`).
    """

    id: str
    words: str
    edges: tuple[Edge, ...]
    answer: str = ""
    inlay: str = ""
    inlay_at: str = ""
    do: tuple[str, ...] = ()
    do_not: tuple[str, ...] = ()
    moves_too: tuple[str, ...] = ()

    @property
    def account(self) -> str:
        """The place that its cloth is taken from, as an order keeps it; "" where none is needed."""
        return self.inlay_at or self.inlay.replace(" ", "_")


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentFinding:
    """One row. `usual_mm` is (least, usual, most); None where only a measured amount will do.

    `sided`: it is read of one side; else of the garment as a whole. `latest` is the last stage at
    which it can be worked in the ordinary way. `opposite` cannot be true at the same time.
    """

    id: str
    check: str
    name: str
    seen: str
    cause: str
    remedies: tuple[Remedy, ...]
    usual_mm: tuple[float, float, float] | None
    sided: bool = True
    question: str = ""
    look_alike: str = ""
    latest: str = "forward"
    opposite: str = ""
    source: str = NO_SOURCE

    def remedy(self, id_: str) -> Remedy | None:
        """The remedy that was answered; the only one where there is no choice; else None."""
        if len(self.remedies) == 1:
            return self.remedies[0]
        return next((one for one in self.remedies if one.id == id_), None)

    def written(self) -> dict[str, Any]:
        """The row as JSON has it, as an entry keeps it."""
        plain: dict[str, Any] = json.loads(json.dumps(asdict(self)))
        return plain

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """The row that was written."""
        usual = document["usual_mm"]
        remedies = tuple(_remedy(one) for one in document["remedies"])
        return cls(
            **{
                **document,
                "usual_mm": None if usual is None else tuple(map(float, usual)),
                "remedies": remedies,
            }
        )


def _remedy(document: Mapping[str, Any]) -> Remedy:
    told = {key: tuple(document[key]) for key in ("do", "do_not", "moves_too")}
    edges = tuple(Edge(**edge) for edge in document["edges"])
    return Remedy(**{**document, **told, "edges": edges})
