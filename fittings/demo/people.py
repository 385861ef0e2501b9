"""Who comes to the invented shop: names made up, bodies of ordinary numbers (mm)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """chest, waist, hip and so on in mm; `notes` are (word, side, degree)."""

    given: str
    family: str
    compare_with: str
    stature: int
    chest: int
    waist: int
    upper_arm: int
    arm_length: int
    wrist: int
    forward_hang: tuple[float, float] = (6.0, 6.0)
    notes: tuple[tuple[str, str, int], ...] = ()
    cloths: tuple[str, ...] = ()


PEOPLE: Final = (
    Person(
        given="Aurel",
        family="Fenwharf",
        compare_with="men",
        stature=1792,
        chest=1012,
        waist=884,
        upper_arm=318,
        arm_length=622,
        wrist=172,
        forward_hang=(9.0, 7.0),
        notes=(("stooping", "", 1), ("arm_forward", "left", 2)),
        cloths=("grey herringbone flannel", "navy hopsack", "brown donegal"),
    ),
    Person(
        given="Basile",
        family="Okonmoor",
        compare_with="men",
        stature=1834,
        chest=1094,
        waist=962,
        upper_arm=352,
        arm_length=641,
        wrist=181,
        forward_hang=(4.0, 4.0),
        notes=(("erect", "", 2), ("square_shoulders", "", 1)),
        cloths=("charcoal twill", "cream linen"),
    ),
    Person(
        given="Corin",
        family="Talverey",
        compare_with="men",
        stature=1713,
        chest=978,
        waist=842,
        upper_arm=301,
        arm_length=588,
        wrist=166,
        forward_hang=(6.0, 11.0),
        notes=(("dropped_shoulder", "right", 2), ("arm_forward", "right", 2)),
        cloths=("green covert", "midnight barathea"),
    ),
    Person(
        given="Dunya",
        family="Arkvale",
        compare_with="women",
        stature=1684,
        chest=921,
        waist=748,
        upper_arm=286,
        arm_length=561,
        wrist=152,
        forward_hang=(8.0, 8.0),
        notes=(("forward_shoulders", "", 1),),
        cloths=("oatmeal tweed", "black doeskin"),
    ),
    Person(
        given="Emeric",
        family="Sollan",
        compare_with="men",
        stature=1758,
        chest=1148,
        waist=1093,
        upper_arm=371,
        arm_length=604,
        wrist=184,
        forward_hang=(3.0, 3.0),
        notes=(("corpulent", "", 2), ("arm_back", "", 1)),
        cloths=("blue worsted", "grey sharkskin"),
    ),
    Person(
        given="Fenna",
        family="Quillmarsh",
        compare_with="women",
        stature=1731,
        chest=958,
        waist=792,
        upper_arm=297,
        arm_length=579,
        wrist=155,
        forward_hang=(7.0, 6.0),
        notes=(("sloping_shoulders", "", 2),),
        cloths=("plum velvet", "houndstooth saxony"),
    ),
    Person(
        given="Gaspard",
        family="Thornwill",
        compare_with="men",
        stature=1869,
        chest=1056,
        waist=897,
        upper_arm=333,
        arm_length=667,
        wrist=178,
        forward_hang=(10.0, 10.0),
        notes=(("long_arm", "", 2), ("prominent_blades", "", 1)),
        cloths=("camel overcoating", "air-force blue mohair"),
    ),
    Person(
        given="Hektor",
        family="Ambrelow",
        compare_with="men",
        stature=1702,
        chest=1033,
        waist=951,
        upper_arm=329,
        arm_length=593,
        wrist=175,
        forward_hang=(5.0, 5.0),
        notes=(("round_back", "", 1),),
        cloths=("tan gabardine",),
    ),
    Person(
        given="Ilse",
        family="Dovermere",
        compare_with="women",
        stature=1642,
        chest=902,
        waist=731,
        upper_arm=279,
        arm_length=548,
        wrist=149,
        forward_hang=(6.0, 6.0),
        cloths=("grey prunelle",),
    ),
    Person(
        given="Jovan",
        family="Harrowby-Lisk",
        compare_with="men",
        stature=1776,
        chest=1001,
        waist=868,
        upper_arm=314,
        arm_length=617,
        wrist=170,
        forward_hang=(12.0, 8.0),
        notes=(("forward_shoulders", "left", 2), ("head_forward", "", 1)),
        cloths=("bottle-green corduroy", "pearl-grey cashmere"),
    ),
    Person(
        given="Katell",
        family="Wrenfold",
        compare_with="women",
        stature=1706,
        chest=934,
        waist=769,
        upper_arm=291,
        arm_length=570,
        wrist=153,
        forward_hang=(5.0, 7.0),
        cloths=("ivory cavalry twill", "ink-blue serge"),
    ),
    Person(
        given="Lorcan",
        family="Pellamy",
        compare_with="men",
        stature=1811,
        chest=1072,
        waist=934,
        upper_arm=344,
        arm_length=636,
        wrist=180,
        forward_hang=(7.0, 7.0),
        notes=(("square_shoulders", "", 2),),
        cloths=("grey nailhead", "navy serge", "russet thornproof"),
    ),
)
