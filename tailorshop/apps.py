from django.apps import AppConfig


class TailorshopConfig(AppConfig):
    name = "tailorshop"
    verbose_name = "The shop"
