"""What somebody chooses for themselves."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from fittings.forms.own_settings import OwnSettingsForm
from fittings.views.reach import form_page


def own_settings(request: HttpRequest) -> HttpResponse:
    form = OwnSettingsForm(request.POST or None, instance=request.user)
    return form_page(
        request,
        form,
        "own_settings.html",
        said="Saved: your settings.",
        then=lambda _: reverse("own-settings"),
    )
