"""The application that a WSGI server runs: ``threadwright_service.wsgi:app``."""

from threadwright_service.app import create_app

app = create_app()
