"""What is seen on trousers. Amounts are common practice, no source, but for those of Hertzer."""

from __future__ import annotations

from typing import Final

from patterns.rules.coat_findings import MODERN_TAILOR
from patterns.rules.garment_finding import EACH_SEAM, WHOLE, Edge, GarmentFinding, Remedy

# Hertzer, 1892: the leg is swung 5/8 in at the bottom, about 1/2 in at the knee.
SWING_MM: Final = 15.9
SWING_SAYS: Final = "at the bottom; at the knee four fifths of it"


def _work(
    words: str, edge: str, direction: str, *, id_: str = "work", answer: str = "", **more: str
) -> Remedy:
    """A remedy on one edge; `more` may have acts, measured_from, inlay, inlay_at."""
    where = Edge(
        piece="trousers",
        edge=edge,
        direction=direction,
        acts=more.get("acts", EACH_SEAM),
        measured_from=more.get("measured_from", "seam line"),
    )
    return Remedy(
        id=id_,
        words=words,
        edges=(where,),
        answer=answer,
        inlay=more.get("inlay", ""),
        inlay_at=more.get("inlay_at", ""),
    )


TROUSERS_FINDINGS: Final[tuple[GarmentFinding, ...]] = (
    GarmentFinding(
        id="trousers_waist_tight",
        check="waistband",
        name="Waist tight",
        seen="The waist cuts in.",
        cause="Too little width at the waist.",
        usual_mm=(6, 10, 15),
        sided=False,
        latest="delivered",
        opposite="trousers_waist_loose",
        remedies=(
            _work(
                "Let out the waist",
                "seat seam at the waist",
                "let the seam out, to nothing at the seat",
                inlay="waist",
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_waist_loose",
        check="waistband",
        name="Waist loose",
        seen="The waist stands off.",
        cause="Too much width at the waist.",
        usual_mm=(6, 10, 15),
        sided=False,
        latest="delivered",
        opposite="trousers_waist_tight",
        remedies=(
            _work(
                "Take in the waist",
                "seat seam at the waist",
                "take the seam in, to nothing at the seat",
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_cloth_in_lap",
        check="seat",
        name="Cloth in the lap when seated",
        seen="Seated, cloth stands up in the lap.",
        cause="The seat angle and the fork are small.",
        usual_mm=(6, 10, 15),
        sided=False,
        source=MODERN_TAILOR,
        remedies=(
            Remedy(
                id="fork_and_seat_line",
                words="Let out the fork and throw the seat line back",
                inlay="fork",
                edges=(
                    Edge(
                        piece="back of the trousers",
                        edge="fork",
                        direction="let the fork out, so that it is longer",
                    ),
                    Edge(
                        piece="back of the trousers",
                        edge="top of the seat seam",
                        direction="move the top of the seat seam toward the side, so that the "
                        "seat line slopes more",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_loose_below_seat",
        check="seat",
        name="Loose below the seat",
        seen="Loose cloth hangs below the seat.",
        cause="The seat angle is more than the figure wants.",
        usual_mm=(6, 8, 10),
        sided=False,
        source=MODERN_TAILOR,
        remedies=(
            Remedy(
                id="seat_top_out_side_in",
                words="Let out the top of the seat seam, take in the side seams",
                inlay="seat",
                edges=(
                    Edge(
                        piece="back of the trousers",
                        edge="top of the seat seam",
                        direction="let the seam out at the top",
                    ),
                    Edge(
                        piece="back of the trousers",
                        edge="side seam at the top",
                        direction="take the seam in by as much",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_seat_tight",
        check="seat",
        name="Tight across the seat",
        seen="Horizontal folds lie across the seat.",
        cause="Too little width at the seat.",
        usual_mm=(6, 8, 10),
        sided=False,
        remedies=(
            _work(
                "Let out the seat",
                "seat seam",
                "let the seam out over the seat",
                inlay="seat",
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_fork_tight",
        check="rise",
        name="Tight at the fork",
        seen="Horizontal folds run to the fork.",
        cause="Too little width at the fork.",
        usual_mm=(6, 8, 10),
        sided=False,
        remedies=(
            _work(
                "Let out the fork", "fork", "let the fork out, so that it is longer", inlay="fork"
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_rise_long",
        check="rise",
        name="Rise long",
        seen="Loose cloth lies between waist and fork.",
        cause="The rise is long.",
        usual_mm=(6, 10, 15),
        sided=False,
        opposite="trousers_rise_short",
        remedies=(
            _work(
                "Shorten the rise",
                "waist edge, all round",
                "take the trousers down from the waist, so that the rise is shorter",
                acts=WHOLE,
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_rise_short",
        check="rise",
        name="Rise short",
        seen="The fork cuts in, the waist is drawn down.",
        cause="The rise is short.",
        usual_mm=(6, 10, 15),
        sided=False,
        opposite="trousers_rise_long",
        remedies=(
            _work(
                "Lengthen the rise",
                "waist edge, all round",
                "let the waist edge up, so that the rise is longer",
                acts=WHOLE,
                inlay="waist",
                inlay_at="waist_edge",
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_leg_open",
        check="leg",
        name="Slack at the top of the leg seam",
        seen="Slack lies at the top of the leg seam; it clears with the legs apart.",
        cause="The leg is too open.",
        usual_mm=(6, 8, 10),
        source=MODERN_TAILOR,
        remedies=(
            Remedy(
                id="close_leg",
                words="Let out the leg seam at the bottom, reduce the side by as much",
                inlay="leg",
                edges=(
                    Edge(
                        piece="trousers",
                        edge="leg seam at the bottom",
                        direction="let the seam out, to nothing at the fork",
                    ),
                    Edge(
                        piece="trousers",
                        edge="side seam at the bottom",
                        direction="take the seam in by as much",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_leg_slope",
        check="leg",
        name="Fold, bottom of leg seam to front of knee",
        seen="A fold runs from the bottom of the leg seam to the front of the knee.",
        cause="The slope of the leg is not the wearer's.",
        usual_mm=(SWING_MM, SWING_MM, SWING_MM),
        question="Let the wearer stand with the feet apart, then together: when does the fold "
        "clear?",
        source="Hertzer, 1892 (the amount); which way is asked",
        remedies=(
            _work(
                "Swing the leg inward at the bottom",
                f"both seams below the knee, {SWING_SAYS}",
                "move the bottom of the leg toward the other leg",
                id_="inward",
                answer="With the feet apart",
                acts=WHOLE,
            ),
            _work(
                "Swing the leg outward at the bottom",
                f"both seams below the knee, {SWING_SAYS}",
                "move the bottom of the leg away from the other leg",
                id_="outward",
                answer="With the feet together",
                acts=WHOLE,
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_long",
        check="length",
        name="Leg too long",
        seen="The bottom breaks more than is wanted.",
        cause="Length.",
        usual_mm=None,
        latest="delivered",
        opposite="trousers_short",
        remedies=(
            _work(
                "Shorten the leg",
                "bottom",
                "turn the bottom up, so that the leg is shorter",
                acts=WHOLE,
                measured_from="bottom edge as basted",
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_short",
        check="length",
        name="Leg too short",
        seen="The bottom stands off the shoe.",
        cause="Length.",
        usual_mm=None,
        latest="delivered",
        opposite="trousers_long",
        remedies=(
            _work(
                "Lengthen the leg",
                "bottom",
                "let the bottom down, so that the leg is longer",
                acts=WHOLE,
                inlay="bottoms",
                measured_from="bottom edge as basted",
            ),
        ),
    ),
    GarmentFinding(
        id="trousers_hem_slant",
        check="length",
        name="Bottom wants a slant",
        seen="The bottom lies on the shoe in front and stands off behind.",
        cause="The bottom is cut straight.",
        usual_mm=(10, 10, 10),
        sided=False,
        latest="delivered",
        remedies=(
            _work(
                "Slant the bottoms, lower behind",
                "bottom, behind",
                "let the back of the bottom down, to nothing in front",
                acts="on each leg",
                inlay="bottoms",
                measured_from="bottom edge in front",
            ),
        ),
    ),
)
