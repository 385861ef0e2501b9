"""What is seen on the body of a coat or an overcoat, in the order of checks.

Amounts are the trade's usual ones, common practice with no source; a source named in a row is that
of what is seen and of the remedy. "Modern Tailor" is The Modern Tailor, Outfitter and Clothier, 4th
edition, 1949, alterations.
"""

from __future__ import annotations

from typing import Final

from patterns.rules.garment_finding import WHOLE, Edge, GarmentFinding, Remedy

MODERN_TAILOR: Final = "The Modern Tailor, Outfitter and Clothier, 4th ed. 1949, alterations"

_BACK_UP: Final = Edge(
    piece="back",
    edge="side seam",
    direction="pass the back up against the forepart, so that more of its length lies above",
)
_FRONT_SHOULDER_UP: Final = Edge(
    piece="forepart",
    edge="shoulder seam",
    direction="take the forepart up at the shoulder, so that the front hangs higher",
)
_SLEEVE_AGAIN: Final = "The armhole stays as large as it was; set the sleeve again."

COAT_FINDINGS: Final[tuple[GarmentFinding, ...]] = (
    GarmentFinding(
        id="front_balance_short",
        check="balance",
        name="Fronts swing apart",
        seen="The fronts swing apart at the hem, the back clings.",
        cause="The front balance is short.",
        usual_mm=(6, 8, 13),
        sided=False,
        latest="baste",
        opposite="back_short",
        remedies=(
            Remedy(
                id="front_shoulder_down",
                words="Let down the front at the shoulders",
                inlay="front shoulder",
                edges=(
                    Edge(
                        piece="forepart",
                        edge="shoulder seam",
                        direction="let the forepart down from the shoulder, so that the front "
                        "hangs lower",
                    ),
                ),
                moves_too=("The armhole moves down in front: read the pitch again.",),
            ),
        ),
    ),
    GarmentFinding(
        id="back_short",
        check="balance",
        name="Fronts cross, back kicks",
        seen="The fronts cross at the hem, the back kicks out.",
        cause="The back is short.",
        usual_mm=(6, 8, 13),
        sided=False,
        latest="baste",
        opposite="front_balance_short",
        remedies=(
            Remedy(
                id="back_up",
                words="Pass the back up",
                edges=(_BACK_UP,),
                moves_too=("The armhole moves up behind: read the pitch again.",),
            ),
        ),
    ),
    GarmentFinding(
        id="stooping",
        check="balance",
        name="Gapes at the chest, tight at the blades",
        seen="It gapes at the chest and is tight over the blades.",
        cause="A stooping figure.",
        usual_mm=(6, 8, 13),
        sided=False,
        latest="baste",
        source="Hertzer, 1892",
        remedies=(
            Remedy(
                id="length_to_back",
                words="Length out of the front, length and width into the back",
                inlay="back shoulder",
                edges=(
                    _FRONT_SHOULDER_UP,
                    Edge(
                        piece="back",
                        edge="shoulder and neck",
                        direction="let the back out upward, so that it is longer over the blades",
                    ),
                    Edge(
                        piece="back",
                        edge="armhole edge over the blade",
                        direction="let the back out sideways, so that it is wider",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="slanting_folds_front",
        check="shoulders",
        name="Slanting folds, neck to underarm",
        seen="Folds slant from the neck to the underarm in front.",
        cause="The front is too long, or the shoulder slopes more than the coat's.",
        usual_mm=(6, 6, 10),
        latest="baste",
        question="Lift the shoulder end of the coat with two fingers: do the folds clear?",
        remedies=(
            Remedy(
                id="shorten_front",
                answer="They stay: the front is long",
                words="Shorten the front at the shoulder",
                edges=(_FRONT_SHOULDER_UP,),
            ),
            Remedy(
                id="add_slope",
                answer="They clear: the shoulder slopes",
                words="Give the shoulder more slope",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="shoulder seam at the armhole end",
                        direction="take down at the armhole end, to nothing at the neck",
                    ),
                ),
                moves_too=(_SLEEVE_AGAIN,),
            ),
        ),
    ),
    GarmentFinding(
        id="dropped_shoulder",
        check="shoulders",
        name="Shoulder dropped",
        seen="One shoulder is lower; folds run from it toward the armhole.",
        cause="This shoulder is lower than the other.",
        usual_mm=(6, 8, 13),
        latest="baste",
        question="Is the coat to follow the shoulder, or is the shoulder to look as high as the "
        "other?",
        remedies=(
            Remedy(
                id="lower",
                answer="Follow it: lower the coat",
                words="Lower the shoulder at the armhole end",
                edges=(
                    Edge(
                        piece="forepart and back",
                        edge="shoulder seam at the armhole end",
                        direction="take down at the armhole end, to nothing at the neck",
                    ),
                ),
                moves_too=(_SLEEVE_AGAIN,),
            ),
            Remedy(
                id="pad",
                answer="Hide it: build it up",
                words="Build the shoulder up with a pad",
                edges=(
                    Edge(
                        piece="shoulder",
                        edge="armhole end, inside",
                        direction="add so much more padding than on the other shoulder",
                        acts=WHOLE,
                        measured_from="the other shoulder's padding",
                    ),
                ),
            ),
        ),
    ),
    GarmentFinding(
        id="folds_under_collar",
        check="collar",
        name="Folds round the neck under the collar",
        seen="Folds lie round the neck under the collar, more of them behind.",
        cause="The shoulders slope more than the figure's, or the neck is too high.",
        usual_mm=(6, 6, 10),
        sided=False,
        latest="forward",
        question="Lift the coat at the shoulder ends: do the folds clear?",
        source=MODERN_TAILOR,
        remedies=(
            Remedy(
                id="raise_shoulder_ends",
                answer="They clear: raise the shoulder ends",
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
                id="sink_back_neck",
                answer="They stay: the neck is high",
                words="Sink the back neck",
                edges=(
                    Edge(
                        piece="back",
                        edge="neck",
                        direction="cut the back neck lower",
                        acts=WHOLE,
                    ),
                ),
                do_not=("Do not sink it twice: what is cut off cannot be given back.",),
            ),
        ),
    ),
    GarmentFinding(
        id="collar_stands_away",
        check="collar",
        name="Collar stands away",
        seen="The collar stands away from the neck, the stud shows; the head is carried forward.",
        cause="The back is short and the shoulder too square.",
        usual_mm=(6, 8, 10),
        sided=False,
        latest="forward",
        source=MODERN_TAILOR,
        remedies=(
            Remedy(
                id="backs_up_shoulder_off",
                words="Pass the backs up, and take off the shoulder ends",
                edges=(
                    _BACK_UP,
                    Edge(
                        piece="forepart and back",
                        edge="shoulder seam at the armhole end",
                        direction="take off at the armhole end, to nothing at the neck",
                    ),
                ),
                do=("Open the side seams first.",),
            ),
        ),
    ),
)
