"""Addresses of printing and handing over."""

from django.urls import path

from patterns import handover

urlpatterns = [
    path("<int:pk>/<int:number>/print/", handover.pattern_print, name="pattern-print"),
    path("<int:pk>/<int:number>/print/paper/", handover.pattern_paper, name="pattern-paper"),
    path("<int:pk>/<int:number>/print/drawing/", handover.pattern_drawing, name="pattern-drawing"),
]
