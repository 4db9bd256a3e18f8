"""The HTTP face: the WSGI application, made by :func:`create_app`."""

from threadwright_service.app.factory import create_app

__all__ = ["create_app"]
