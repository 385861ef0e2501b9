"""The WSGI application that a server such as gunicorn loads."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tailorshop.settings")
application = get_wsgi_application()
