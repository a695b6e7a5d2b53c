"""The door a web server comes in by."""

import os
from importlib import import_module

from django.conf import settings
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopapp.settings")
application = get_wsgi_application()
# Every page's code too, or the first visitor of each worker would wait for it.
import_module(settings.ROOT_URLCONF)
