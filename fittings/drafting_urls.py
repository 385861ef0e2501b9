"""Address of the page that drafts a pattern again."""

from django.urls import path

from fittings.views import drafting

urlpatterns = [
    path("<int:pk>/<int:number>/draft/", drafting.pattern_draft, name="pattern-draft"),
]
