"""Older coats of the invented shop, fitted twice each: what the shop learns from.

Numbers made up so that about four fifths of a turn come, give or take a reading of the cuff.
"""

from __future__ import annotations

from typing import Final

from fittings.demo.telling import Commission, Visit, cuff

# who, then how far the arm stood forward of the cuff: left and right, first and at the next fitting
READ_TWICE: Final = (
    (0, 58, 49, 14, 6),
    (2, 44, 71, 10, 13),
    (3, 52, 55, 12, 15),
    (4, -42, -47, -5, -12),
    (5, 61, 50, 8, 11),
    (6, 66, 63, 17, 9),
    (7, 38, 46, 9, 4),
    (8, 57, 47, 13, 12),
    (9, 74, 52, 11, 14),
    (10, 45, 59, 7, 13),
    (11, 50, 54, 12, 8),
    (1, -39, -51, -10, -7),
)


def _commission(number: int, who: int, first: tuple[int, int], then: tuple[int, int]) -> Commission:
    ordered = 1900 - 30 * number
    return Commission(
        who=who,
        ordered_ago=ordered,
        promised_in=110 - ordered,
        stage="delivered",
        own_pattern=True,
        visits=(
            Visit(days_ago=ordered - 30, left=(cuff(first[0]),), right=(cuff(first[1]),)),
            Visit(
                days_ago=ordered - 60,
                stage="forward",
                left=(cuff(then[0]),),
                right=(cuff(then[1]),),
                refuse={"pitch": "Small enough to press into place."},
            ),
        ),
    )


AGAIN: Final = tuple(
    _commission(number, who, (left, right), (then_left, then_right))
    for number, (who, left, right, then_left, then_right) in enumerate(READ_TWICE)
)
