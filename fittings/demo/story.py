"""What happened in the invented shop, told by visits; every correction is really worked out."""

from __future__ import annotations

from typing import Final

from fittings.demo.telling import (
    Commission,
    Visit,
    angle,
    crease,
    cuff,
    dragged,
    elbow,
    finding,
    length,
    shows,
    slack,
    swing,
)

STORY: Final = (
    # Aurel Fenwharf: a coat from a pattern retired since, then three coats over four years, each
    # starting where the one before ended, and an overcoat from a branch.
    Commission(
        who=0,
        cloth=1,
        ordered_ago=2560,
        promised_in=-2440,
        stage="delivered",
        visits=(Visit(days_ago=2500, left=(cuff(24),), right=(cuff(22),)),),
    ),
    Commission(
        who=0,
        retires="He has grown three inches round the chest.",
        ordered_ago=1460,
        promised_in=-1340,
        stage="delivered",
        visits=(
            Visit(days_ago=1425, left=(cuff(72), swing("back")), right=(cuff(48),)),
            Visit(days_ago=1390, stage="forward", left=(elbow(9), length(-6)), right=(elbow(7),)),
        ),
    ),
    Commission(
        who=0,
        cloth=1,
        ordered_ago=560,
        promised_in=-440,
        stage="delivered",
        visits=(
            Visit(
                days_ago=520,
                left=(cuff(18),),
                right=(shows(1, 6),),
                refuse={"seam_shift": "Customer likes the seam out of sight."},
            ),
        ),
        noted=(("let out", "side seam", "", 6),),
    ),
    Commission(
        who=0,
        garment="overcoat",
        branched=True,
        ordered_ago=400,
        promised_in=-290,
        stage="delivered",
        visits=(Visit(days_ago=350, left=(length(10),), right=(length(10),)),),
    ),
    Commission(
        who=0,
        cloth=2,
        ordered_ago=40,
        promised_in=30,
        stage="baste",
        visits=(Visit(days_ago=0, left_off="open"),),
    ),
    # Basile Okonmoor: an erect figure, arms back.
    Commission(
        who=1,
        ordered_ago=900,
        promised_in=-790,
        stage="delivered",
        visits=(
            Visit(days_ago=860, left=(cuff(-55), crease("back", "slack")), right=(cuff(-60),)),
        ),
    ),
    Commission(
        who=1,
        cloth=1,
        ordered_ago=50,
        promised_in=12,
        stage="forward",
        visits=(
            Visit(
                days_ago=21,
                left=(finding("crown_too_high"),),
                right=(finding("crown_too_high"),),
                amend={"crown": (-8.0, "Soft linen, less will do.")},
            ),
        ),
    ),
    # Corin Talverey: one dropped shoulder, unlike arms.
    Commission(
        who=2,
        ordered_ago=700,
        promised_in=-600,
        stage="delivered",
        visits=(
            Visit(days_ago=660, left=(cuff(30),), right=(cuff(105), swing("back"))),
            Visit(days_ago=630, stage="forward", right=(cuff(22),), left=(length(8),)),
        ),
    ),
    Commission(
        who=2,
        cloth=1,
        ordered_ago=30,
        promised_in=40,
        stage="baste",
        visits=(
            Visit(
                days_ago=2,
                left=(cuff(20), elbow(8)),
                right=(cuff(64), crease("back", "unknown")),
                left_off="read",
            ),
        ),
    ),
    # Dunya Arkvale
    Commission(
        who=3,
        ordered_ago=400,
        promised_in=-300,
        stage="delivered",
        visits=(
            Visit(
                days_ago=365, left=(slack("front", 8), swing("back")), right=(slack("front", 7),)
            ),
        ),
    ),
    Commission(
        who=3,
        cloth=1,
        ordered_ago=26,
        promised_in=5,
        stage="forward",
        visits=(
            Visit(
                days_ago=6,
                left=(finding("sleeve_narrow"),),
                right=(finding("sleeve_narrow"),),
                left_off="issued",
            ),
        ),
    ),
    # Emeric Sollan: an amount past turning, so the sleeve is recut.
    Commission(
        who=4,
        ordered_ago=330,
        promised_in=-240,
        stage="delivered",
        visits=(Visit(days_ago=300, left=(angle(-13),), right=(angle(-17),)),),
    ),
    Commission(who=4, cloth=1, ordered_ago=15, promised_in=55, stage="cut"),
    # Fenna Quillmarsh
    Commission(
        who=5,
        ordered_ago=250,
        promised_in=-160,
        stage="delivered",
        visits=(
            Visit(
                days_ago=215,
                left=(elbow(14), finding("forearm_seam_shows_in_front")),
                right=(elbow(12),),
            ),
            Visit(days_ago=190, stage="finish", left=(length(-8),), right=(length(-5),)),
        ),
    ),
    Commission(who=5, cloth=1, ordered_ago=12, promised_in=60, stage="measured"),
    # Gaspard Thornwill: an overcoat, and long arms.
    Commission(
        who=6,
        garment="overcoat",
        ordered_ago=190,
        promised_in=-90,
        stage="delivered",
        visits=(Visit(days_ago=150, left=(cuff(80), length(14)), right=(cuff(76), length(14))),),
    ),
    Commission(
        who=6,
        cloth=1,
        ordered_ago=22,
        promised_in=20,
        stage="baste",
        visits=(
            Visit(
                days_ago=4, left=(cuff(60),), right=(cuff(58),), settled=False, left_off="signed"
            ),
        ),
    ),
    # Hektor Ambrelow
    Commission(
        who=7,
        ordered_ago=120,
        promised_in=-8,
        stage="finish",
        visits=(
            Visit(days_ago=70, left=(finding("hindarm_long"), cuff(35)), right=(cuff(33),)),
            Visit(
                days_ago=9,
                stage="finish",
                left=(length(-5),),
                right=(length(-5),),
                left_off="issued",
            ),
        ),
    ),
    # Ilse Dovermere
    Commission(
        who=8,
        ordered_ago=75,
        promised_in=3,
        stage="forward",
        visits=(
            Visit(
                days_ago=35, left=(finding("under_sleeve_head_full"), elbow(8)), right=(elbow(8),)
            ),
        ),
    ),
    # Jovan Harrowby-Lisk: the left arm far forward.
    Commission(
        who=9,
        ordered_ago=820,
        promised_in=-700,
        stage="delivered",
        visits=(Visit(days_ago=780, left=(cuff(118), swing("back")), right=(cuff(66),)),),
    ),
    Commission(
        who=9,
        cloth=1,
        ordered_ago=18,
        promised_in=45,
        stage="baste",
        visits=(
            Visit(
                days_ago=1,
                left=(crease("back", "unknown"),),
                right=(dragged(6, 4), swing("neither")),
                left_off="read",
            ),
        ),
    ),
    # Katell Wrenfold
    Commission(
        who=10,
        ordered_ago=64,
        promised_in=9,
        stage="forward",
        visits=(
            Visit(days_ago=28, left=(finding("crown_too_low", 8), cuff(28)), right=(cuff(44),)),
        ),
    ),
    Commission(
        who=10,
        cloth=1,
        garment="waistcoat",
        ordered_ago=64,
        promised_in=9,
        stage="baste",
        visits=(
            Visit(
                days_ago=14,
                seen=(("", "waistcoat_rides"), ("left", "waistcoat_points_kick")),
                left_off="issued",
            ),
        ),
    ),
    # Lorcan Pellamy: a steady customer.
    Commission(
        who=11,
        ordered_ago=1100,
        promised_in=-1000,
        stage="delivered",
        visits=(
            Visit(days_ago=1060, left=(cuff(52), elbow(10)), right=(cuff(50), elbow(10))),
            Visit(days_ago=1030, stage="forward", left=(shows(3, 8),), right=(shows(3, 8),)),
        ),
    ),
    Commission(
        who=11,
        cloth=1,
        ordered_ago=480,
        promised_in=-390,
        stage="delivered",
        visits=(Visit(days_ago=450, stage="forward", left=(length(6),), right=(cuff(6),)),),
    ),
    Commission(
        who=11,
        cloth=2,
        ordered_ago=20,
        promised_in=26,
        stage="baste",
        visits=(Visit(days_ago=0, left_off="open"),),
    ),
)
