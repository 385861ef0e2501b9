"""Addresses of the record."""

from django.urls import path

from fittings.views import (
    consents,
    customers,
    drafting,
    figure,
    fitting_room,
    measures,
    orders,
    own_settings,
    pattern_choice,
    photographs,
