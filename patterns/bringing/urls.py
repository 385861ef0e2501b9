"""Addresses of bringing patterns in."""

from django.urls import path

from patterns.bringing import photo_views, views

urlpatterns = [
    path("<int:pk>/bring-in/", views.pattern_bring_in, name="pattern-bring-in"),
    path("<int:pk>/photo/", photo_views.pattern_photo, name="pattern-photo"),
    path("<int:pk>/photo/<slug:name>.jpg", photo_views.photo_picture, name="pattern-photo"),
]
