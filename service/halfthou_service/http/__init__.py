"""How you ask over HTTP: one module per resource, strict reading, problem documents, the application factory."""

from .app import create_app
from .settings import Settings, SettingsError

__all__ = ["Settings", "SettingsError", "create_app"]
