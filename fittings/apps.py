from django.apps import AppConfig


class FittingsConfig(AppConfig):
    name = "fittings"

    def ready(self) -> None:
        from fittings.search.keeping import listen

        listen()
