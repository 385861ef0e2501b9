"""Addresses of the patterns."""

from django.urls import path

from patterns.bringing import photo_views
from patterns.bringing.views import pattern_bring_in
from patterns.views import checking, handover, numbers, overlay, patterns, trying

urlpatterns = [
    path("<int:pk>/", patterns.pattern, name="pattern"),
    path("<int:pk>/numbers/", numbers.pattern_numbers, name="pattern-numbers"),
    path("<int:pk>/retire/", patterns.pattern_retire, name="pattern-retire"),
    path("<int:pk>/bring-in/", pattern_bring_in, name="pattern-bring-in"),
    path("<int:pk>/photo/", photo_views.pattern_photo, name="pattern-photo"),
    path("<int:pk>/photo/<slug:name>.jpg", photo_views.photo_picture, name="pattern-photo"),
    path("<int:pk>/<int:number>/", patterns.pattern_version, name="pattern-version"),
    path("<int:pk>/<int:number>/check/", checking.pattern_check, name="pattern-check"),
    path("<int:pk>/<int:number>/try/", trying.pattern_try, name="pattern-try"),
    path("<int:pk>/<int:number>/print/", handover.pattern_print, name="pattern-print"),
    path("<int:pk>/<int:number>/print/paper/", handover.pattern_paper, name="pattern-paper"),
    path("<int:pk>/<int:number>/print/drawing/", handover.pattern_drawing, name="pattern-drawing"),
    path("<int:pk>/<int:number>/overlay/", overlay.pattern_overlay, name="pattern-overlay"),
    path(
        "<int:pk>/<int:number>/overlay/paper/",
        overlay.pattern_overlay_paper,
        name="pattern-overlay-paper",
    ),
]
