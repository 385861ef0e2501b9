"""Addresses of bringing patterns in."""

from django.urls import path

from patterns.bringing import views

urlpatterns = [
    path("<int:pk>/bring-in/", views.pattern_bring_in, name="pattern-bring-in"),
]
