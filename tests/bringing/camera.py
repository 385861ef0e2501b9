"""A camera of known place: what a plane with marks on it looks like in its picture."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from math import cos, radians, sin

import cv2
import numpy as np
from numpy.typing import ArrayLike
from PIL import Image, ImageDraw

from patterns.geometry.arclength import FloatArray


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole `height_mm` over a point of the plane, tilted and turned, `focal_px` long.

    Projected by OpenCV, which stands outside of what is tested.
    """

    over_mm: tuple[float, float] = (400.0, 500.0)
    height_mm: float = 1500.0
    tilt_deg: float = 20.0
    roll_deg: float = 7.0
    focal_px: float = 2400.0
    size: tuple[int, int] = (2400, 3000)

    def pixels(self, points_mm: ArrayLike) -> FloatArray:
        """Pixels (n, 2) of points (n, 2) on the plane."""
        flat = np.asarray(points_mm, dtype=float).reshape(-1, 2)
        world = np.column_stack([flat, np.zeros(len(flat))])
        t, r = radians(self.tilt_deg), radians(self.roll_deg)
        tilt = np.array([[1, 0, 0], [0, cos(t), -sin(t)], [0, sin(t), cos(t)]])
        roll = np.array([[cos(r), -sin(r), 0], [sin(r), cos(r), 0], [0, 0, 1]])
        turn = tilt @ roll
        middle = np.array([*self.over_mm, 0.0])
        shift = np.array([0.0, 0.0, self.height_mm]) - turn @ middle
        lens = np.array(
            [[self.focal_px, 0, self.size[0] / 2], [0, self.focal_px, self.size[1] / 2], [0, 0, 1]]
        )
        found, _ = cv2.projectPoints(world, cv2.Rodrigues(turn)[0], shift, lens, np.zeros(5))
        return np.asarray(found.reshape(-1, 2), dtype=float)

    def picture(self, lines_mm: list[FloatArray], marks_mm: ArrayLike) -> bytes:
        """A JPEG of dark lines on light paper, with round marks."""
        image = Image.new("RGB", self.size, (235, 230, 220))
        pen = ImageDraw.Draw(image)
        for line in lines_mm:
            pen.line([tuple(p) for p in self.pixels(line)], fill=(20, 20, 20), width=3)
        for x, y in self.pixels(marks_mm):
            pen.ellipse([x - 9, y - 9, x + 9, y + 9], fill=(160, 0, 0))
        out = BytesIO()
        image.save(out, "JPEG", quality=85)
        return out.getvalue()
