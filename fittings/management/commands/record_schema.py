"""`manage.py record_schema`: write the schema of a customer's record anew, from the models."""

import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from fittings import carrying
from fittings.carrying.describing import schema


class Command(BaseCommand):
    help = "Writes fittings/carrying/record.schema.json anew; to be committed with a new field."

    def handle(self, *args: Any, **options: Any) -> None:
        path = Path(carrying.__path__[0]) / "record.schema.json"
        path.write_text(f"{json.dumps(schema(), indent=1)}\n", encoding="utf-8")
        self.stdout.write(f"Written: {path.name}.")
