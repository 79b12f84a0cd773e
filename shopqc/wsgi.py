"""The web process: ``gunicorn shopqc.wsgi``."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopqc.settings")
application = get_wsgi_application()
