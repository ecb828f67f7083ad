"""Marshmallow schemas: the shape of what is sent, for reading it and for the OpenAPI document."""

from .fields import faults_of
from .requests import ENVELOPE, PLACE_FIELDS, READING_FIELDS, EngineSchema, QuantitySchema, ReadingSchema, SheetSchema

__all__ = ["ENVELOPE", "PLACE_FIELDS", "READING_FIELDS", "EngineSchema", "QuantitySchema", "ReadingSchema", "SheetSchema", "faults_of"]
