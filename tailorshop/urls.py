"""Every address of the shop; the table of who may open which is in `roles`."""

from django.urls import include, path

from tailorshop.health import health, ready
from tailorshop.staff import staff_edit, staff_list, staff_new
from tailorshop.trail.pages import trail

handler400 = "tailorshop.guards.not_understood"

handler500 = "tailorshop.answers.broken"

urlpatterns = [
    path("", include("tailorshop.signing_in.urls")),
    path("staff/", staff_list, name="staff-list"),
    path("staff/new/", staff_new, name="staff-new"),
    path("staff/<int:pk>/", staff_edit, name="staff-edit"),
    path("trail/", trail, name="trail"),
    path("health/", health, name="health"),
    path("ready/", ready, name="ready"),
    path("", include("fittings.urls")),
    path("patterns/", include("patterns.urls")),
]
