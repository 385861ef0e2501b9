"""The findings a fitter can log on a sleeve: what is seen, the cause, what looks alike, the remedy.

Amounts are trade practice with no source unless a source is named in the row. Ids are stable: the
record keeps them for years. A fitter's own words for an id ("crown too high") are understood.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final, Self


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One row. `usual_mm` is (least, usual, most); None where only a measured amount will do.

    `called` is the shop's own name for it; "" where it goes by the book's.
    """

    id: str
    seen: str
    cause: str
    remedy: str
    look_alike: str = ""
    usual_mm: tuple[float, float, float] | None = None
    source: str = "trade practice, no source"
    called: str = ""

    @property
    def name(self) -> str:
        return self.called or self.id.replace("_", " ")

    def written(self) -> dict[str, Any]:
        """The row as JSON has it, as an entry keeps it."""
        plain = asdict(self)
        return {**plain, "usual_mm": None if self.usual_mm is None else list(self.usual_mm)}

    @classmethod
    def read(cls, document: Mapping[str, Any]) -> Self:
        """The row that was written."""
        usual = document["usual_mm"]
        return cls(**{**document, "usual_mm": None if usual is None else tuple(map(float, usual))})


SLEEVE_FINDINGS: Final[tuple[Finding, ...]] = (
    Finding(
        id="pitch_too_far_back",
        seen="Soft slack folds in front below the front pitch; strain from the back pitch toward "
        "the front of the elbow; the front of the wrist touches, a gap behind.",
        cause="The arm hangs forward of the sleeve.",
        look_alike="Crown short in front (taut, no gap at the cuff); chest tight (the pull runs "
        "on into the forepart); back narrow; back balance short.",
        remedy="Turn the sleeve so that the cuff goes forward.",
        usual_mm=(6, 8, 10),
    ),
    Finding(
        id="pitch_too_far_forward",
        seen="Slack folds behind below the back pitch; strain from the front pitch down and back; "
        "a gap at the cuff in front.",
        cause="The arm hangs behind the sleeve; an erect figure.",
        look_alike="Back too wide or long (folds in the back panel); hindarm long (folds at the "
        "elbow, not at the head).",
        remedy="Turn the sleeve so that the cuff goes back.",
        usual_mm=(6, 8, 10),
    ),
    Finding(
        id="crown_too_high",
        seen="Folds right across the head, a lump at the crown.",
        cause="The head is higher than the armhole needs.",
        look_alike="Ease in too short an armhole (puckers on the seam).",
        remedy="Lower the crown, to nothing at the pitches; keep the armhole and its ease.",
        usual_mm=(6, 10, 13),
    ),
    Finding(
        id="crown_too_low",
        seen="Drags from the crown to both sides of the underarm; the sleeve stands out and the "
        "cuff swings out.",
        cause="The head is too shallow, or the top side of the head short.",
        look_alike="Sloping shoulders; armhole too deep.",
        remedy="Raise the crown from the inlay; without inlay deepen the underarm hollow of the "
        "sleeve and set it higher, which costs length.",
        usual_mm=(6, 10, 13),
    ),
    Finding(
        id="front_of_head_shallow",
        seen="Taut creases at the top of the forearm, from the crown toward the front pitch.",
        cause="Too little round at the front of the head.",
        look_alike="Pitch too far back (that is slack, not taut).",
        remedy="More round at the front of the head, from the inlay.",
        usual_mm=(3, 5, 6),
        source="Vincent, The Cutter's Practical Guide, ladies' garments (the cause)",
    ),
    Finding(
        id="sleeve_narrow",
        seen="Horizontal pulls round the upper arm.",
        cause="Width.",
        look_alike="Lining tight.",
        remedy="Let out at the hindarm, each piece.",
        usual_mm=(6, 8, 10),
    ),
    Finding(
        id="sleeve_wide",
        seen="Empty vertical folds at the front and back of the head.",
        cause="Width.",
        look_alike="Crown too high (horizontal folds).",
        remedy="Take in at the hindarm, each piece.",
        usual_mm=(6, 8, 10),
    ),
    Finding(
        id="too_much_ease",
        seen="A puckered seam at the top, collapse behind.",
        cause="Ease too much or wrongly placed.",
        look_alike="Armhole not stayed.",
        remedy="Redistribute the ease and reduce it.",
        usual_mm=(5, 8, 10),
    ),
    Finding(
        id="too_little_ease",
        seen="A strap across the shoulder end, dimples.",
        cause="The head has less than 30 mm over the armhole.",
        look_alike="Shoulder too wide.",
        remedy="Let out the head from the inlay, or narrow the shoulder.",
        usual_mm=(6, 6, 6),
    ),
    Finding(
        id="hindarm_long",
        seen="Folds above the elbow behind; the cuff kicks forward.",
        cause="Hindarm long or not eased, forearm short.",
        look_alike="Pitch too far forward (folds at the head, not at the elbow).",
        remedy="Shorten the hindarm, or ease it over the elbow.",
        usual_mm=(6, 8, 10),
    ),
    Finding(
        id="hindarm_short",
        seen="Taut at the bent elbow; the cuff kicks back.",
        cause="Hindarm short, forearm long.",
        look_alike="Pitch too far back.",
        remedy="Lengthen the hindarm.",
        usual_mm=(6, 8, 10),
    ),
    Finding(
        id="forearm_tight",
        seen="Cords along the forearm seam.",
        cause="Forearm not stretched, hollow too deep.",
        look_alike="Lining short.",
        remedy="Stretch the forearm and fill the hollow.",
        usual_mm=(6, 6, 6),
    ),
    Finding(
        id="elbow_points_in",
        seen="The fullness of the elbow stands behind, not to the side; the sleeve is twisted "
        "against the arm.",
        cause="Seams too near the middle.",
        look_alike="The arm itself is rotated.",
        remedy="Move the seams: hindarm up, forearm down.",
    ),
    Finding(
        id="elbow_points_out_too_far",
        seen="The hindarm shows far from the edge seen from the side.",
        cause="Seams moved over too far.",
        look_alike="The arm itself is rotated.",
        remedy="Move the seams back: hindarm down, forearm up.",
    ),
    Finding(
        id="forearm_seam_shows_in_front",
        seen="The forearm seam lies on the front edge.",
        cause="The false seam is too small.",
        remedy="Widen the top sleeve at the forearm; it says nothing of the elbow unless the "
        "turning moves too.",
        usual_mm=(6, 6, 6),
    ),
    Finding(
        id="cuff_swings_in",
        seen="The cuff swings in against the thigh.",
        cause="Forward bend or crown.",
        look_alike="Coat wide at the hip.",
        remedy="Less bend, or a lower crown: decide which first.",
    ),
    Finding(
        id="armhole_too_low",
        seen="The coat lifts with the arm, ridges run to the waist.",
        cause="Depth of the armhole.",
        look_alike="Sleeve narrow.",
        remedy="Raise the armhole from the inlay and recut the underarm of the sleeve.",
        usual_mm=(10, 12, 15),
    ),
    Finding(
        id="armhole_too_high",
        seen="The armhole cuts under the arm.",
        cause="Depth of the armhole.",
        look_alike="A bulky seam: trim it to 6 mm first.",
        remedy="Lower the armhole, once.",
        usual_mm=(6, 6, 6),
    ),
    Finding(
        id="armhole_too_far_back",
        seen="Cuts in front of the armhole; the arm cannot come forward.",
        cause="The front is not cut out enough.",
        look_alike="Chest tight.",
        remedy="Clear the front of the armhole; the back must be given the same width.",
        usual_mm=(3, 5, 6),
        source="Hertzer, 1892 (1/2 in forward needs the back 1/2 in wider)",
    ),
    Finding(
        id="armhole_too_far_forward",
        seen="A hollow in front of the armhole.",
        cause="The front is cut out too far.",
        look_alike="Chest full.",
        remedy="Fill the front of the armhole from the inlay and read the pitch again.",
        usual_mm=(3, 5, 6),
    ),
    Finding(
        id="under_sleeve_head_full",
        seen="A crescent behind the underarm.",
        cause="The under sleeve's head is too full.",
        look_alike="Armhole low.",
        remedy="Take cloth from the hollow of the under sleeve's head.",
        usual_mm=(3, 5, 6),
    ),
    Finding(
        id="sleeve_long",
        seen="The shirt cuff is hidden.",
        cause="Length.",
        look_alike="Shoulder width, unlike arms.",
        remedy="Shorten by what was measured, each arm by itself.",
    ),
    Finding(
        id="sleeve_short",
        seen="The shirt cuff is bare.",
        cause="Length.",
        look_alike="Shoulder width, unlike arms.",
        remedy="Lengthen by what was measured, each arm by itself.",
    ),
    Finding(
        id="one_good_one_not",
        called="one good, one not",
        seen="One sleeve hangs well, the other does not.",
        cause="A dropped shoulder, unlike arms.",
        remedy="Each sleeve its own pitch; a notch changed on one side is asked about on the "
        "other.",
        source="Hertzer, 1892",
    ),
)

FINDINGS: Final[dict[str, Finding]] = {finding.id: finding for finding in SLEEVE_FINDINGS}


def canonical(words: str) -> str:
    """The id in any of the ways people write it: 'Crown too high' is crown_too_high."""
    return "_".join(words.lower().replace("_", " ").replace("-", " ").split())
