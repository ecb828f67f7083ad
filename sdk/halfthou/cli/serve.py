"""``halfthou serve``."""

from __future__ import annotations

import ipaddress
import socket
import struct
from typing import Any

import click

from ..errors import NotInstalled
from .common import told_errors


@click.command("serve")
@click.option("--host", default="127.0.0.1", envvar="HALFTHOU_HOST", show_default=True, help="Address to listen on.")
@click.option("--port", default=8070, envvar="HALFTHOU_PORT", show_default=True, type=click.IntRange(1, 65535))
@click.option("--workers", default=1, show_default=True, type=click.IntRange(1, 64), help="Processes.")
@click.option("--threads", default=16, show_default=True, type=click.IntRange(1, 64), help="Threads in each process.")
def command(host: str, port: int, workers: int, threads: int) -> None:
    """Start the service; stop it with Ctrl-C."""
    with told_errors():
        run = server(host, port, workers, threads)
    if not _loopback(host):
        click.echo(
            f"halfthou: {host} can be reached from other machines; the service asks nobody who they are.", err=True
        )
    click.echo(f"halfthou: http://{f'[{host}]' if ':' in host else host}:{port}", err=True)
    run.run()


def server(host: str, port: int, workers: int, threads: int) -> Any:
    """The server, ready to run. The application is made after the fork, so that no process shares an open file.

    Raises:
        NotInstalled: the service part or gunicorn is not installed here.
    """
    from importlib.util import find_spec

    try:
        missing = find_spec("halfthou_service") is None or find_spec("halfthou_service.http") is None
    except ImportError:
        missing = True
    if missing:
        raise NotInstalled("the service part is not installed here; get it with: pip install 'halfthou[service]'")
    try:
        from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped]
    except ImportError:
        raise NotInstalled("gunicorn is not installed here; get it with: pip install 'halfthou[service]'") from None

    class Server(BaseApplication):  # type: ignore[misc]
        """gunicorn with settings of our own; it reads no command line and no file."""

        def load_config(self) -> None:
            """Set what was asked for."""
            bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
            for name, value in (
                ("bind", bind), ("workers", workers), ("threads", threads), ("worker_class", "gthread"),
                ("proc_name", "halfthou"), ("accesslog", None), ("graceful_timeout", 10), ("when_ready", _patience),
            ):  # fmt: skip
                self.cfg.set(name, value)
            if "control_socket_disable" in self.cfg.settings:
                self.cfg.set("control_socket_disable", True)

        def load(self) -> Any:
            """The application, in the worker."""
            from ..transport import embedded_app

            return embedded_app()

    return Server()


PATIENCE = 10
"""Seconds a client may let the service wait for the rest of its request."""


def _patience(arbiter: Any) -> None:
    """A client that sends half a request and falls silent holds a thread for seconds, not for ever.

    The bound is set on the listening sockets, and on Linux every connection accepted from one inherits it.
    """
    for listener in arbiter.LISTENERS:
        listener.sock.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, struct.pack("@ll", PATIENCE, 0))


def _loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
