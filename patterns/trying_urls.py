"""Address of trying a sleeve before it is cut."""

from django.urls import path

from patterns.trying import pattern_try

urlpatterns = [path("<int:pk>/<int:number>/try/", pattern_try, name="pattern-try")]
