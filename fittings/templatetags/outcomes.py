"""What came of a decision, where a template has one at hand."""

from django import template

from fittings.models import Decision
from fittings.outcomes import said

register = template.Library()


@register.filter
def came(decision: Decision | None, unit: str) -> str:
    """`{{ decision|came:unit }}`: the sentence; nothing where nothing was read since."""
    return said.came_of(decision, unit)


@register.filter
def why_not(decision: Decision | None) -> str:
    """`{{ decision|why_not }}`: why the shop learns nothing from what came of it."""
    outcome = getattr(decision, "came_of_it", None)
    return outcome.why_not_counted if outcome is not None else ""
