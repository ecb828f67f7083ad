"""How you ask over HTTP: one module per resource, strict reading, problem documents, the application factory."""

from halfthou_specdb.errors import SpecdbError as CannotStart

from .app import create_app
from .settings import Settings, SettingsError

__all__ = ["CannotStart", "Settings", "SettingsError", "create_app"]
