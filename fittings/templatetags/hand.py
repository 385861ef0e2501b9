"""What the figures that are read by hand need of the template language."""

from typing import Any

from django import template

from fittings.fitting_room.hand import Pose, at_the_cuff_mm, pose_of
from fittings.models import Entry
from fittings.units import format_length

register = template.Library()


@register.filter
def dragged(entry: Entry) -> Pose | None:
    """`{{ line.entry|dragged }}`: the figure as it was dragged, where the entry was."""
    return pose_of(entry)


@register.filter
def figure_words(form: Any) -> str:
    """What a dragged form says as it stands: 'Arm 4.5° forward of the sleeve'."""
    angle = round(form.shown("arm") - form.shown("sleeve"), 2)
    plus, minus, none = form.WORDS
    return (plus if angle > 0 else minus).replace("#", f"{abs(angle):g}°") if angle else str(none)


@register.filter
def figure_degrees(form: Any) -> str:
    return f"{abs(round(form.shown('arm') - form.shown('sleeve'), 2)):g}°"


@register.filter
def at_the_cuff(form: Any, unit: str) -> str:
    """The same in the reader's unit, 600 mm below the armhole."""
    angle = form.shown("arm") - form.shown("sleeve")
    return format_length(abs(at_the_cuff_mm(angle)), unit)
