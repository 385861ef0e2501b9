"""Every address of the shop; the table of who may open which is in `roles`."""

from django.contrib.auth import views as auth
from django.urls import include, path

from tailorshop.devices import SignOut
from tailorshop.health import health
from tailorshop.staff import staff_edit, staff_list, staff_new

urlpatterns = [
    path("sign-in/", auth.LoginView.as_view(template_name="sign_in.html"), name="sign-in"),
    path("sign-out/", SignOut.as_view(), name="sign-out"),
    path("staff/", staff_list, name="staff-list"),
    path("staff/new/", staff_new, name="staff-new"),
    path("staff/<int:pk>/", staff_edit, name="staff-edit"),
    path("health/", health, name="health"),
    path("", include("fittings.urls")),
    path("patterns/", include("patterns.urls")),
]
