from django.apps import AppConfig


class FittingsConfig(AppConfig):
    name = "fittings"
