"""Papers for the bench: limits sheet, as-found sheet, work orders, parts back, readiness, before and after.

Pure: frozen records and functions over a bench and its answer. What they look like is the business of ``halfthou_service.pages``.
"""
