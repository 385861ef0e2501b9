"""A form's own identity, so that sending it twice does nothing twice."""

import secrets

from django import template

register = template.Library()


@register.simple_tag
def form_identity() -> str:
    """New for each time that a form is drawn."""
    return secrets.token_urlsafe(16)
