"""The WSGI application that a server such as gunicorn loads; shut while steps are missing."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tailorshop.settings")
application = get_wsgi_application()

# After the application is made: only then can its own parts be asked.
from tailorshop.steps import look_at_the_start  # noqa: E402

look_at_the_start()
