"""The application factory."""

from __future__ import annotations

from pathlib import Path

from flask import Flask

from halfthou_specdb.build import open_table
from halfthou_specdb.overlay import edition_with, read_overlay

from . import (
    as_found_sheets,
    calculations,
    characteristics,
    comparisons,
    fits,
    handlers,
    hooks,
    limits,
    limits_sheets,
    operations,
    overlays,
    parts_back,
    readiness,
    reference,
    standards,
    table_pages,
    typical_dimensions,
    verdicts,
    work_orders,
)
from .limiter import Buckets
from .logs import make_log
from .metrics import Metrics
from .settings import Settings
from .state import KEY, LEVELS, Shop

BLUEPRINTS = (
    limits.blueprint, characteristics.blueprint, reference.blueprint, verdicts.blueprint, fits.blueprint, standards.blueprint,
    calculations.blueprint, readiness.blueprint, limits_sheets.blueprint, as_found_sheets.blueprint, work_orders.blueprint,
    parts_back.blueprint, comparisons.blueprint,
    typical_dimensions.blueprint, overlays.blueprint, table_pages.blueprint,
    operations.blueprint, handlers.blueprint,
)  # fmt: skip


def create_app(settings: Settings | None = None) -> Flask:
    """The service as a WSGI application. The table is opened once, here.

    Raises:
        SettingsError: settings of the environment that cannot be used.
        RecordError, TableError: the table cannot be built or opened.
        RecordError, SpecdbError: the owner's overlay cannot be read.
    """
    settings = settings if settings is not None else Settings.from_environment()
    table = open_table()
    overlay = read_overlay(table, Path(settings.overlay)) if settings.overlay else None
    app = Flask("halfthou", static_folder=None, template_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.max_body
    app.url_map.merge_slashes = False
    app.url_map.redirect_defaults = False
    shop = Shop(settings, table, overlay, make_log(LEVELS[settings.log_level]), Metrics(edition_with(table, overlay)),
                Buckets(settings.rate_limit) if settings.rate_limit else None)  # fmt: skip
    app.extensions[KEY] = shop
    hooks.install(app, shop)
    handlers.install(app, shop)
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    return app
