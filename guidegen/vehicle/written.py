"""Values that a description writes as text: words, addresses, heights, quantities with their unit.

Each is a type of the schema with its own reading. A value read is a plain one, a str or a float, and to
a type checker the names mean just that. What `read` refuses, or takes for another type than it is, the
whole schema in `schema` reads again, which has the words for it; so `read` may refuse too much, never too
little.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, ClassVar, TypeAlias

from guidegen.vehicle.model import HEIGHTS, Height
from guidegen.vehicle.units import parse_quantity

_BLANKS = re.compile(r"[ \t\r\n]+")
_LONGEST_ADDRESS = 150  # bytes in a QR code of version 8-M (ISO/IEC 18004, table 7), 20 mm wide as printed


class _Kind(type):
    """Lets the plain values of a written type be instances of it."""

    def __instancecheck__(cls, value: object) -> bool:
        return isinstance(value, cls.of)  # type: ignore[attr-defined]


class Written(metaclass=_Kind):
    """A type of written values; `of` is the plain type that they are kept as."""

    of: ClassVar[type | tuple[type, ...]]

    @classmethod
    def read(cls, value: Any) -> Any:
        """The plain value. Raises ValueError or TypeError."""
        raise NotImplementedError


def read_written(kind: type, value: object) -> Any:
    """Reads a value of a written type, as msgspec asks for types that are not its own."""
    if issubclass(kind, Written):
        return kind.read(value)
    raise TypeError(kind)


class Text(Written):
    """A text; one of `one_line` may stand over several lines, whose ends and tabs become blanks."""

    of = str
    pattern: ClassVar[str] = ""
    shortest: ClassVar[int] = 0
    longest: ClassVar[int | None] = None
    one_line: ClassVar[bool] = False

    @classmethod
    def read(cls, value: Any) -> str:
        text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
        if not isinstance(text, str):
            raise TypeError(value)
        if not text.isascii():
            text.encode()  # no halves of characters
        if cls.one_line:
            text = on_one_line(text).strip(" ")
            if text[:1].isspace() or text[-1:].isspace():
                raise ValueError("begins or ends with a rare blank")
        if len(text) < cls.shortest or (cls.longest is not None and len(text) > cls.longest):
            raise ValueError("too long or too short")
        if cls.pattern and not re.fullmatch(cls.pattern, text):
            raise ValueError("not as it must be")
        return cls.sound(str(text))

    @classmethod
    def sound(cls, text: str) -> str:
        """What more is asked of the text than its form. Raises ValueError, told to the writer of the file."""
        return text


class Quantity(Written):
    """A number with a unit of its dimension, kept in the program's unit (see `units`)."""

    of = float
    dimension: ClassVar[str]
    signed: ClassVar[bool] = False

    @classmethod
    def read(cls, value: Any) -> float:
        return parse_quantity(value, cls.dimension, signed=cls.signed)


def on_one_line(value: str) -> str:
    """Line ends and tabs of a text over several lines become blanks."""
    return _BLANKS.sub(" ", value)


def web_address(value: str) -> str:
    """The address. Raises ValueError for what is none, or too long for a code."""
    from urllib.parse import urlsplit

    try:
        parts = urlsplit(value)
        sound = bool(parts.hostname) and parts.port != 0 and value.isprintable()
    except ValueError:  # of a port or a bracket
        sound = False
    if not sound:
        raise ValueError(f"“{value}” is not a web address: write it like “https://example.com/page”")
    if len(value.encode()) > _LONGEST_ADDRESS:
        raise ValueError(f"is longer than {_LONGEST_ADDRESS} characters, the most that a code holds")
    return value


def height(value: object) -> object:
    """A word for a height, or mm. Raises ValueError."""
    if value in HEIGHTS:
        return value
    try:
        return parse_quantity(value, "length", signed=True)
    except ValueError:
        raise ValueError(
            f"“{value}” is not a height: use {', '.join(HEIGHTS)}, or a length such as “0.9 m”"
        ) from None


def answer(value: object) -> object:
    """The file's yes and no stay words here: they are printed as answers."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value.strip() if isinstance(value, str) else value


if TYPE_CHECKING:
    Plain: TypeAlias = str
    Id: TypeAlias = str
    Words: TypeAlias = str
    Note: TypeAlias = str
    WebAddress: TypeAlias = str
    Colour: TypeAlias = str
    FileName: TypeAlias = str
    GridSquare: TypeAlias = str
    Ids: TypeAlias = tuple[str, ...]
    ReadingValue: TypeAlias = str | int | float
    HeightOrLength: TypeAlias = Height | float
    Length: TypeAlias = float
    SignedLength: TypeAlias = float
    Power: TypeAlias = float
    Mass: TypeAlias = float
    Volume: TypeAlias = float
    Charge: TypeAlias = float
    Current: TypeAlias = float
    Time: TypeAlias = float
    CrossSection: TypeAlias = float
    GasRate: TypeAlias = float
else:

    class Plain(Text):
        pass

    class Id(Text):
        pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"
        longest = 60

    class Words(Text):
        one_line = True
        shortest, longest = 1, 200

    class Note(Text):
        one_line = True
        shortest, longest = 1, 600

    class WebAddress(Text):
        pattern = r"^https?://[^\s<>\"]{3,500}$"

        @classmethod
        def sound(cls, text: str) -> str:
            return web_address(text)

    class Colour(Text):
        pattern = r"^#[0-9a-fA-F]{6}$"

    class FileName(Text):
        shortest, longest = 1, 200

    class GridSquare(Text):
        pattern = r"^[A-Z][1-9][0-9]?$"

    class Ids(Written):
        """Several ids; one alone needs no list."""

        of = tuple

        @classmethod
        def read(cls, value: Any) -> tuple[str, ...]:
            if isinstance(value, str):
                return (Id.read(value),)
            if isinstance(value, list):
                return tuple(map(Id.read, value))
            raise TypeError(value)

    class ReadingValue(Written):
        of = (str, int, float)

        @classmethod
        def read(cls, value: Any) -> str | int | float:
            found = answer(value)
            return found if type(found) in (int, float) else Plain.read(found)

    class HeightOrLength(Written):
        of = (str, float)

        @classmethod
        def read(cls, value: Any) -> str | float:
            return height(value)

    class Length(Quantity):  # mm
        dimension = "length"

    class SignedLength(Quantity):  # mm
        dimension, signed = "length", True

    class Power(Quantity):  # W
        dimension = "power"

    class Mass(Quantity):  # kg
        dimension = "mass"

    class Volume(Quantity):  # l
        dimension = "volume"

    class Charge(Quantity):  # Ah
        dimension = "charge"

    class Current(Quantity):  # A
        dimension = "current"

    class Time(Quantity):  # h
        dimension = "time"

    class CrossSection(Quantity):  # mm²
        dimension = "area"

    class GasRate(Quantity):  # g/h
        dimension = "gas rate"
