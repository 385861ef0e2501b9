"""The photographs of a fitting and the consents of a customer, for the pages that include them."""

from typing import Any

from django import template

from fittings.consents import Standing, standing
from fittings.models import Customer, Fitting, Ticket
from fittings.photographs.attached import are_withheld
from fittings.photographs.attached import photographs_of as on_ticket
from fittings.photographs.showing import Shown, shown_of

register = template.Library()


@register.simple_tag(takes_context=True)
def photographs_of(context: template.Context, fitting: Fitting) -> Shown:
    """What the part shows; a view that answers with the part alone has made it already."""
    made: Any = context.get("shown")
    return made if isinstance(made, Shown) else shown_of(fitting)


@register.simple_tag
def consents_of(customer: Customer) -> list[Standing]:
    return standing(customer)


@register.filter
def has_health_note(customer: Customer) -> bool:
    """Whether there is one that may be opened; never what it says."""
    return bool(customer.health_consent_on) and customer.health_notes.exists()


@register.simple_tag
def photographs_on(ticket: Ticket) -> list[dict[str, Any]]:
    return on_ticket(ticket)


@register.simple_tag
def withheld_from(ticket: Ticket) -> bool:
    return are_withheld(ticket)
