"""A plain writer of TOML for tests: one key to a line, nested tables within the line."""

import json
from collections.abc import Mapping
from decimal import Decimal


def write(document: Mapping[str, object]) -> str:
    return "".join(f"{basic(key)} = {_value(value)}\n" for key, value in document.items())


def basic(text: str) -> str:
    """A key or text in double quotation marks."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: object) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, dict):
        pairs = (f"{basic(key)} = {_value(entry)}" for key, entry in value.items())
        return "{ " + ", ".join(pairs) + " }"
    if isinstance(value, str):
        return basic(value)
    if isinstance(value, Decimal):
        return _decimal(value)
    return str(value).lower() if isinstance(value, bool) else str(value)


def _decimal(value: Decimal) -> str:
    if not value.is_finite():
        return "nan" if value.is_nan() else "inf"
    text = str(value).replace("E", "e")
    return text if "." in text or "e" in text else f"{text}.0"
