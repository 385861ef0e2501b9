"""What is seen below the collar of a coat: widths, vents and length. Read with coat_findings."""

from __future__ import annotations

from typing import Final

from patterns.rules.garment_finding import WHOLE, Edge, GarmentFinding, Remedy

COAT_WIDTH_FINDINGS: Final[tuple[GarmentFinding, ...]] = (
    GarmentFinding(
        id="roll_below_collar",
        check="collar",
        name="Roll below the collar",
        seen="A roll lies across the back below the collar.",
        cause="Square shoulders, an erect figure, the neck set back, or the collar short.",
        usual_mm=(6, 8, 10),
        sided=False,
        question="What is it? Look at the shoulders first, then at the carriage, then open the "
        "collar.",
        remedies=(
            Remedy(
                id="square",
                answer="The shoulders are square",
                words="Raise the shoulder ends",
                inlay="back shoulder",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="shoulder seam at the armhole end",
                        direction="let out upward at the armhole end, to nothing at the neck",
                    ),
                ),
            ),
            Remedy(
                id="erect",
                answer="The figure is erect",
                words="Shorten the back at the neck",
                edges=(
                    Edge(
                        piece="back",
                        edge="shoulder seam at the neck end and neck",
                        direction="take the back up, so that it is shorter above the blades",
                        acts=WHOLE,
                    ),
                ),
            ),
            Remedy(
                id="neck_set_back",
                answer="The neck is set back",
                words="Sink the back neck",
                edges=(
                    Edge(
                        piece="back", edge="neck", direction="cut the back neck lower", acts=WHOLE
                    ),
                ),
            ),
            Remedy(
                id="collar_short",
                answer="The collar is short: it clears when it is opened",
                words="Lengthen the collar",
                edges=(
                    Edge(
                        piece="collar",
                        edge="sewing edge",
                        direction="stretch or recut it longer round the neck",
                        acts=WHOLE,
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="blades_prominent",
        check="chest",
        name="Hem off behind, folds to the armhole",
        seen="The hem stands off behind, folds run from the blade to the armhole.",
        cause="The blade wants more length and round.",
        usual_mm=(6, 8, 13),
        latest="baste",
        remedies=(
            Remedy(
                id="blade_round",
                words="More blade length and round",
                inlay="back armhole",
                edges=(
                    Edge(
                        piece="back",
                        edge="armhole edge over the blade",
                        direction="let out, and draw the round in at the back armhole",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="chest_tight",
        check="chest",
        name="Chest pulls to the button",
        seen="Folds pull from the chest to the button.",
        cause="Too little width over the chest.",
        usual_mm=(6, 6, 6),
        sided=False,
        remedies=(
            Remedy(
                id="let_out_chest",
                words="Let out over the chest",
                inlay="side",
                inlay_at="side_chest",
                edges=(
                    Edge(
                        piece="forepart",
                        edge="side seam at the chest",
                        direction="let the seam out, so that the front is wider",
                        acts="on each side seam, twice so much in all",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="back_tight",
        check="chest",
        name="Tight across the back",
        seen="Horizontal pulls across the back when the arms come forward.",
        cause="Too little width across the back.",
        usual_mm=(6, 6, 6),
        sided=False,
        remedies=(
            Remedy(
                id="let_out_back_armhole",
                words="Let out the back at the armholes",
                inlay="back armhole",
                edges=(
                    Edge(
                        piece="back",
                        edge="armhole edge",
                        direction="let out sideways, so that the back is wider",
                        acts="on each armhole edge, twice so much in all",
                    ),
                ),
                moves_too=("The back pitch moves with the edge: set the sleeve again.",),
            ),
        ),
    ),
    GarmentFinding(
        id="waist_tight",
        check="waist",
        name="Cross folds at the waist",
        seen="Folds make a cross at the waist button.",
        cause="Too little width at the waist.",
        usual_mm=(6, 8, 10),
        remedies=(
            Remedy(
                id="let_out_waist",
                words="Let out at the waist",
                inlay="side",
                inlay_at="side_waist",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="side seam at the waist",
                        direction="let the seam out, to nothing at the armhole",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="hips_tight",
        check="waist",
        name="Hips tight, vents open",
        seen="The skirt is tight over the hips and the vents stand open.",
        cause="Too little width below the waist.",
        usual_mm=(6, 8, 13),
        opposite="vents_cross",
        remedies=(
            Remedy(
                id="let_out_hips",
                words="Let out below the waist",
                inlay="side",
                inlay_at="side_hips",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="side seam below the waist",
                        direction="let the seam out, from nothing at the waist",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="vents_cross",
        check="waist",
        name="Vents cross",
        seen="The vents lap over each other and swing across.",
        cause="The back is long, or the skirt too full.",
        usual_mm=(6, 8, 10),
        sided=False,
        opposite="hips_tight",
        question="Lift the coat at the back of the neck: do the vents hang straight?",
        remedies=(
            Remedy(
                id="back_long",
                answer="They hang straight: the back is long",
                words="Shorten the back at the neck",
                edges=(
                    Edge(
                        piece="back",
                        edge="shoulder seam at the neck end and neck",
                        direction="take the back up, so that it is shorter",
                        acts=WHOLE,
                    ),
                ),
            ),
            Remedy(
                id="skirt_full",
                answer="They still cross: the skirt is full",
                words="Take in the skirt",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="side seams below the waist",
                        direction="take the seams in, from nothing at the waist",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="coat_long",
        check="fronts",
        name="Coat too long",
        seen="The coat is longer than it is wanted.",
        cause="Length.",
        usual_mm=None,
        sided=False,
        latest="finish",
        opposite="coat_short",
        remedies=(
            Remedy(
                id="shorten",
                words="Shorten the coat",
                edges=(
                    Edge(
                        piece="coat",
                        edge="hem, all round",
                        direction="turn the hem up, so that the coat is shorter",
                        acts=WHOLE,
                        measured_from="hem edge as basted",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="coat_short",
        check="fronts",
        name="Coat too short",
        seen="The coat is shorter than it is wanted.",
        cause="Length.",
        usual_mm=None,
        sided=False,
        latest="finish",
        opposite="coat_long",
        remedies=(
            Remedy(
                id="lengthen",
                words="Lengthen the coat",
                inlay="hem",
                edges=(
                    Edge(
                        piece="coat",
                        edge="hem, all round",
                        direction="let the hem down, so that the coat is longer",
                        acts=WHOLE,
                        measured_from="hem edge as basted",
                    ),
                ),
            ),
        ),
    ),
)
