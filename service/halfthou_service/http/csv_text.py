"""A CSV body as text, checked before anything in it is read."""

from __future__ import annotations

from .problems import ProblemError


def text_of(body: bytes) -> str:
    """The text of a body in UTF-8, with or without its mark.

    Raises:
        ProblemError: another coding, or a NUL character.
    """
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ProblemError("bad-csv", f"the body is not UTF-8 (byte {error.start})") from None
    if "\x00" in text:
        raise ProblemError("bad-csv", "the body holds a NUL character")
    return text
