"""What is seen on a waistcoat. All of it common practice, no source."""

from __future__ import annotations

from typing import Final

from patterns.rules.garment_finding import WHOLE, Edge, GarmentFinding, Remedy

_FRONT_UP: Final = Edge(
    piece="forepart",
    edge="shoulder seam",
    direction="take the forepart up at the shoulder, so that the front hangs higher",
)

WAISTCOAT_FINDINGS: Final[tuple[GarmentFinding, ...]] = (
    GarmentFinding(
        id="waistcoat_gapes_at_armhole",
        check="neck",
        name="Gapes at the armhole",
        seen="The front stands off at the armhole.",
        cause="The front is long, or its shoulder too straight.",
        usual_mm=(6, 6, 6),
        remedies=(
            Remedy(
                id="shorten_front_shoulder",
                words="Shorten the front at the shoulder",
                edges=(_FRONT_UP,),
            ),
        ),
    ),
    GarmentFinding(
        id="waistcoat_stands_off_neck",
        check="neck",
        name="Stands off at the neck",
        seen="The waistcoat stands off at the neck.",
        cause="The neck is too long for the figure.",
        usual_mm=(6, 6, 10),
        sided=False,
        remedies=(
            Remedy(
                id="draw_in_neck",
                words="Take up the shoulders at the neck end",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="shoulder seam at the neck end",
                        direction="take up at the neck end, to nothing at the armhole",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="waistcoat_tight_stomach",
        check="sides",
        name="Tight over the stomach",
        seen="Folds pull over the stomach to the buttons.",
        cause="Too little width.",
        usual_mm=(6, 6, 6),
        remedies=(
            Remedy(
                id="let_out_side",
                words="Let out at the side",
                inlay="side",
                inlay_at="side_waist",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="side seam",
                        direction="let the seam out, so that it is wider over the stomach",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="waistcoat_rides",
        check="length",
        name="Rides up, the shirt shows",
        seen="It rides up, and the shirt shows above the trousers.",
        cause="The waistcoat is short.",
        usual_mm=(10, 15, 20),
        sided=False,
        remedies=(
            Remedy(
                id="lengthen",
                words="Lengthen the waistcoat",
                inlay="hem",
                edges=(
                    Edge(
                        piece="waistcoat",
                        edge="hem, all round",
                        direction="let the hem down, so that it is longer",
                        acts=WHOLE,
                        measured_from="hem edge as basted",
                    ),
                ),
                do=("It must clear the waistband of the trousers by 20 mm.",),
            ),
        ),
    ),
    GarmentFinding(
        id="waistcoat_points_kick",
        check="points",
        name="Points kick out",
        seen="The points stand off in front.",
        cause="The front is long.",
        usual_mm=(6, 6, 10),
        remedies=(
            Remedy(
                id="shorten_front",
                words="Shorten the front at the shoulder",
                edges=(_FRONT_UP,),
            ),
        ),
    ),
)
