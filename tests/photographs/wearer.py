"""A photograph to be touched, and touches of an arm and a sleeve whose angles are known by hand.

On a picture 600 wide and 800 high the arm runs from (300, 160) to (240, 480): 60 forward on 320
down, atan(60/320) = 10.62 degrees; its elbow lies on the line. The sleeve hangs straight down.
"""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any

from django.test import Client
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from fittings.models import Fitting, Photograph
from fittings.photographs.record import SHOWS, add_photograph
from tailorshop.models import User
from tests.photographs.pictures import file

WIDE, HIGH = 600, 800
ARM_DEG = 10.62
ARM = {"arm_top": (50, 20), "arm_elbow": (45, 40), "arm_end": (40, 60)}
SLEEVE = {"sleeve_top": (50, 20), "sleeve_elbow": (50, 40), "sleeve_end": (50, 58)}
PLUMB = {"plumb_upper": (20, 10), "plumb_lower": (20, 70)}
RULE = {"rule_one": (70, 20), "rule_other": (70, 50)}
Touches = dict[str, tuple[float, float]]


def photograph_of(
    fitting: Fitting, by: User, shows: str = "left", *, days_ago: int = 0, shade: int = 120
) -> Photograph:
    customer = fitting.order.customer
    customer.fitting_photo_consent_on = dt.date(2026, 1, 5)
    customer.save()
    return add_photograph(
        fitting,
        file(Image.new("RGB", (WIDE, HIGH), (shade, shade, shade))),
        shows=next(s for s in SHOWS if s.key == shows),
        by=by,
        taken_at=timezone.now() - dt.timedelta(days=days_ago),
    )


def mirrored(touches: Touches) -> Touches:
    return {name: (100 - x, y) for name, (x, y) in touches.items()}


def posted(touches: Touches, **more: Any) -> dict[str, Any]:
    """What the page sends: every touch as two numbers in per cent."""
    sent: dict[str, Any] = {"identity": str(uuid.uuid4())}
    for name, (x, y) in touches.items():
        sent |= {f"{name}_x": str(x), f"{name}_y": str(y)}
    return sent | more


def measure(client: Client, photograph: Photograph, touches: Touches, **more: Any) -> Any:
    address = reverse("photograph-measure", args=[photograph.pk])
    return client.post(address, posted(touches, **more))
