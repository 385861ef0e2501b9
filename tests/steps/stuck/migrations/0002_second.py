"""Half of its rows, and then what STUCK says: it fails, it stands still, or it goes on."""

import os
import time
from pathlib import Path

from django.db import migrations


def write(apps, schema_editor):
    marks = apps.get_model("stuck", "Mark").objects
    apps.get_model("fittings", "Customer").objects.update(notes="half way")
    marks.create(said="first half")
    match os.environ.get("STUCK", ""):
        case "fails":
            raise ValueError("no such cloth")
        case "stands":
            Path(os.environ["STUCK_AT"]).touch()
            time.sleep(120)
    marks.create(said="second half")


class Migration(migrations.Migration):
    dependencies = [("stuck", "0001_first")]
    operations = [migrations.RunPython(write, migrations.RunPython.noop)]
