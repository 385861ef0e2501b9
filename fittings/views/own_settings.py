"""What somebody chooses for themselves."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from fittings.forms.own_settings import OwnSettingsForm


def own_settings(request: HttpRequest) -> HttpResponse:
    form = OwnSettingsForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved: your settings.")
        return redirect("own-settings")
    status = 422 if request.method == "POST" else 200
    return render(request, "own_settings.html", {"form": form}, status=status)
