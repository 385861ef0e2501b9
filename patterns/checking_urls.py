"""The address at which a version of a pattern is walked."""

from django.urls import path

from patterns.checking import pattern_check

urlpatterns = [path("<int:pk>/<int:number>/check/", pattern_check, name="pattern-check")]
