"""The style of every page: black on white, nothing told by colour, made to be printed and read at arm's length.

It stands inline in each page. A strict content policy lets in exactly this text, by its hash, and nothing else.
"""

from __future__ import annotations

import base64
import hashlib
from importlib.resources import files

STYLE = files(__package__).joinpath("style.css").read_text("utf-8")
STYLE_HASH = "sha256-" + base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
CONTENT_POLICY = f"default-src 'none'; style-src '{STYLE_HASH}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
"""The header to send with a page: no script, no picture, no font from elsewhere; this style alone."""
