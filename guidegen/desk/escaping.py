"""Texts that spreadsheets would take for something else: escapes of workbooks, formulas of CSV files."""

from __future__ import annotations

import re

# ECMA-376 part 1, 22.9.2.19 ST_Xstring: "_x0041_" stands for "A", so that its own underscore is escaped.
_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_ESCAPED = re.compile(r"_x005F_(?=x[0-9A-Fa-f]{4}_)")
# What a spreadsheet program may run when a CSV file is opened (OWASP, CSV Injection).
_ACTIVE = ("=", "+", "-", "@", "\t", "\r")


def escaped(text: str) -> str:
    """The text as a workbook holds it."""
    return _ESCAPE.sub("_x005F_", text)


def unescaped(text: str) -> str:
    """The text of a workbook's cell; the library has done this already where texts lie in a shared table."""
    return _ESCAPED.sub("_", text)


def quoted(text: str) -> str:
    """The text as a CSV file holds it: an apostrophe before what could be run, and before an apostrophe."""
    return f"'{text}" if text.startswith((*_ACTIVE, "'")) else text


def unquoted(text: str) -> str:
    """The text of a CSV file's cell."""
    return text[1:] if text[:1] == "'" and text[1:].startswith((*_ACTIVE, "'")) else text
