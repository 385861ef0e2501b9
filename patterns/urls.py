"""Addresses of the patterns."""

from django.urls import path

from patterns import views

urlpatterns = [
    path("", views.pattern_list, name="pattern-list"),
    path("<int:pk>/", views.pattern, name="pattern"),
    path("<int:pk>/<int:number>/", views.pattern_version, name="pattern-version"),
    path("<int:pk>/retire/", views.pattern_retire, name="pattern-retire"),
]
