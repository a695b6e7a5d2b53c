#!/usr/bin/env python3
"""The way in: `python3 manage.py up` starts the app, `python3 manage.py test` checks it."""

import os
import sys

if __name__ == "__main__":
    from shopapp import bootstrap

    bootstrap.prepare(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopapp.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
