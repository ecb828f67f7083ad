"""Counts and times for Prometheus, in a registry of the application's own."""

from __future__ import annotations

from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Gauge, Histogram, generate_latest

METHODS = frozenset({"GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE"})
MEDIA_TYPE = CONTENT_TYPE_LATEST


class Metrics:
    """Requests by route and status, their time, and verdicts by word."""

    def __init__(self, edition: str) -> None:
        self._registry = CollectorRegistry()
        self._requests = Counter("halfthou_requests", "Requests answered", ["method", "route", "status"], registry=self._registry)
        self._seconds = Histogram("halfthou_request_seconds", "Time to answer", ["route"], registry=self._registry)
        self._verdicts = Counter("halfthou_verdicts", "Verdicts given", ["verdict"], registry=self._registry)
        Gauge("halfthou_edition", "Edition of the data", ["edition"], registry=self._registry).labels(edition).set(1)

    def request(self, method: str, route: str, status: int, seconds: float) -> None:
        """Count one answer. ``route`` is the rule, never the path itself, so that labels stay few."""
        self._requests.labels(method if method in METHODS else "other", route, str(status)).inc()
        self._seconds.labels(route).observe(seconds)

    def verdicts(self, counts: dict[str, int]) -> None:
        """Count the verdicts of one sheet."""
        for word, number in counts.items():
            self._verdicts.labels(word).inc(number)

    def text(self) -> bytes:
        """The whole in the text format of Prometheus."""
        return generate_latest(self._registry)
