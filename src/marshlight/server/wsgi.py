"""The WSGI application that granian or waitress serves."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "marshlight.server.settings")
application = get_wsgi_application()

from marshlight.server.ahead import analyse_soon, assess_soon  # noqa: E402  (needs the settings)

analyse_soon()
assess_soon(first=False)
