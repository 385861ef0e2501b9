"""What a server does once, before its first page and before its processes part."""

import gc
from pathlib import Path

from django.conf import settings
from django.template.loader import get_template
from django.urls import get_resolver


def load_all() -> None:
    """All code and templates, which are loaded late otherwise: somebody would wait for each.

    What is loaded stays to the end. Looked through again and again for what nobody holds any
    more, it would stop a page for a tenth of a second now and then.
    """
    _ = get_resolver().url_patterns
    templates: Path = settings.BASE_DIR / "templates"
    for path in templates.rglob("*.html"):
        get_template(path.relative_to(templates).as_posix())
    gc.collect()
    gc.freeze()
