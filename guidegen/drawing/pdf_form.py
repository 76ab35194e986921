"""Fields to fill in on screen (ISO 32000-1, 12.7): text and tick boxes, with embedded type only.

The fields have no border and no ground of their own: the sheet draws those.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import chain
from typing import TYPE_CHECKING, Any

from guidegen.drawing.fonts import primary_face
from guidegen.drawing.pdf_fonts import FontBook
from guidegen.drawing.pdf_links import Once, annotate
from guidegen.drawing.reportlab_parts import (
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFObject,
    PDFStream,
    PDFString,
    PDFTrueTypeFont,
    TTFontFace,
)

if TYPE_CHECKING:
    from guidegen.drawing.primitives import FormField

FONT_NAME = "FieldFont"
LARGEST_PT = 10.0
INDENT_PT = 2.0
PRINTED = 4  # annotation flag bit 3
MULTILINE = 1 << 12  # field flag bit 13
NO_SCROLL = 1 << 23  # field flag bit 24: what would not show on paper cannot be typed
TICK = "q {w:.2f} w 1 J 1 j {x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l {x3:.2f} {y3:.2f} l S Q"

# Letters that WinAnsi lacks, by their names (ISO 32000-1, 9.6.6), coded in place of signs seldom typed.
_LETTERS = {
    "Ą": "Aogonek", "ą": "aogonek", "Ć": "Cacute", "ć": "cacute", "Ę": "Eogonek", "ę": "eogonek",
    "Ł": "Lslash", "ł": "lslash", "Ń": "Nacute", "ń": "nacute", "Ś": "Sacute", "ś": "sacute",
    "Ź": "Zacute", "ź": "zacute", "Ż": "Zdotaccent", "ż": "zdotaccent", "Č": "Ccaron", "č": "ccaron",
    "Ď": "Dcaron", "ď": "dcaron", "Ě": "Ecaron", "ě": "ecaron", "Ň": "Ncaron", "ň": "ncaron",
    "Ř": "Rcaron", "ř": "rcaron", "Ť": "Tcaron", "ť": "tcaron", "Ů": "Uring", "ů": "uring",
}  # fmt: skip
_SELDOM = (
    *(127, 129, 131, 134, 135, 136, 139, 141, 143, 144, 152, 155, 157, 161, 162),
    *(164, 165, 166, 168, 170, 172, 173, 175, 180, 182, 184, 185, 186, 190, 191),
)

_PLAIN = re.compile(r"[ -'*-\[\]-~]*")  # printable ASCII without brackets and backslash

Box = tuple[float, float, float, float]


class Form:
    """The interactive form of one document."""

    def __init__(self, canvas: Any, fonts: FontBook) -> None:
        self._canvas = canvas
        self._doc = canvas._doc
        self._fonts = fonts
        self._names: set[str] = set()
        self._fields: list[Any] = []
        # Alike ones are written once.
        self._appearances: dict[tuple[str, float, float], Any] = {}
        self._choices: dict[tuple[Any, ...], Once] = {}
        typed = PDFDictionary({FONT_NAME: self._doc.Reference(_whole_font(self._doc), FONT_NAME)})
        canvas.setCatalogEntry(
            "AcroForm",
            {
                "Fields": _Growing(self._fields),
                "DR": PDFDictionary({"Font": typed}),
                "DA": PDFString(f"/{FONT_NAME} {LARGEST_PT:g} Tf 0 g"),
            },
        )

    def add(self, field: FormField, box: Box) -> None:
        """Put a field on the current page; box is x0, y0, x1, y1 in points.

        Raises ValueError for a name that is empty or used twice.
        """
        name = field.name.replace(".", "-")  # a full stop would make a tree of fields
        if not name or name in self._names:
            raise ValueError(f"form field name {field.name!r} is empty or used twice")
        self._names.add(name)
        size = (box[2] - box[0], box[3] - box[1])
        own = self._tick(field, size) if field.kind == "tick" else self._text(field, size)
        widget = _Widget(
            {
                "Type": "/Annot",
                "Subtype": "/Widget",
                "Rect": "[" + " ".join(f"{v:.3f}" for v in box) + "]",
                "F": str(PRINTED),
                "T": _string(name),
                "TU": _string(field.tooltip or field.name),
                "P": self._doc.thisPageRef(),
                **own,
            }
        )
        self._fields.append(annotate(self._canvas, widget))

    def _text(self, field: FormField, size: tuple[float, float]) -> dict[str, Any]:
        size_pt = min(LARGEST_PT, round(size[1] * 0.7, 1))
        many = size[1] > 2.5 * LARGEST_PT
        shown = self._written(field.value, size_pt, size, many) if field.value else ""
        value = _string(field.value)
        return {
            "FT": "/Tx",
            "Ff": str(NO_SCROLL | (MULTILINE if many else 0)),
            **({"MK": "<< /BG [1] >>"} if many else {}),  # typed lines hide the printed ones, which lie apart
            "V": value,
            "DV": value,
            "DA": f"(/{FONT_NAME} {size_pt:g} Tf 0 g)",
            "AP": self._choice(self._appearance(f"/Tx BMC {shown} EMC", size)),
        }

    def _written(self, value: str, size_pt: float, size: tuple[float, float], many: bool) -> str:
        """The value as it shows before anybody fills in the field."""
        foot = (
            size[1] - INDENT_PT - size_pt if many else (size[1] - size_pt * 0.668) / 2
        )  # centre the capitals
        parts = [f"q 0 0 {size[0]:.2f} {size[1]:.2f} re W n BT 0 g {size_pt * 1.2:g} TL"]
        parts.append(f"{INDENT_PT:g} {foot:.2f} Td")
        for line in value.splitlines():
            for font, codes in self._fonts.coded(line, "regular"):
                parts.append(f"{font} {size_pt:g} Tf {codes} Tj")
            parts.append("T*")
        return " ".join([*parts, "ET Q"])

    def _tick(self, field: FormField, size: tuple[float, float]) -> dict[str, Any]:
        width, height = size
        tick = TICK.format(
            w=height * 0.12,
            x1=width * 0.22, y1=height * 0.5,
            x2=width * 0.42, y2=height * 0.26,
            x3=width * 0.8, y3=height * 0.78,
        )  # fmt: skip
        state = "/Yes" if field.value else "/Off"
        on, off = self._appearance(tick, size), self._appearance("", size)
        return {
            "FT": "/Btn",
            "Ff": "0",
            "V": state,
            "DV": state,
            "AS": state,
            "AP": self._choice(on, off),
        }

    def _choice(self, on: Any, off: Any = None) -> Once:
        """The appearance dictionary (clause 12.5.5) of a field that always looks alike, or of a tick box."""
        found = self._choices.get((on, off))
        if found is None:
            normal = on if off is None else PDFDictionary({"Yes": on, "Off": off})
            found = self._choices[on, off] = Once(PDFDictionary({"N": normal}))
        return found

    def _appearance(self, operators: str, size: tuple[float, float]) -> Any:
        key = (operators, round(size[0], 3), round(size[1], 3))
        if key not in self._appearances:
            self._appearances[key] = self._new_appearance(operators, size)
        return self._appearances[key]

    def _new_appearance(self, operators: str, size: tuple[float, float]) -> Any:
        resources = PDFDictionary(
            {"Font": self._doc.Reference(self._doc.idToObject["BasicFonts"], "BasicFonts")}
        )
        stream = PDFStream(
            PDFDictionary(
                {
                    "Type": PDFName("XObject"),
                    "Subtype": PDFName("Form"),
                    "BBox": PDFArray([0, 0, round(size[0], 3), round(size[1], 3)]),
                    "Resources": resources,
                }
            ),
            operators,
        )
        return self._doc.Reference(stream)


def _string(text: str) -> str | PDFString:
    """A text string; as it stands where nothing in it has to be escaped or coded."""
    return f"({text})" if _PLAIN.fullmatch(text) else PDFString(text)


class _Widget(PDFObject):  # type: ignore[misc]
    """A field's dictionary; plain text is written as it stands, which a form of many fields needs."""

    def __init__(self, entries: dict[str, Any]) -> None:
        self._entries = entries

    def format(self, document: Any) -> bytes:
        parts = [
            f"/{key} {value if isinstance(value, str) else value.format(document).decode('ascii')}"
            for key, value in self._entries.items()
        ]
        return f"<< {' '.join(parts)} >>".encode("ascii")


class _Growing(PDFArray):  # type: ignore[misc]
    """An array that is still being filled when it is handed over."""

    def __init__(self, sequence: list[Any]) -> None:
        self.sequence = sequence


@cache
def _whole_face() -> tuple[TTFontFace, bytes]:
    """As it is measured, with figures of their own widths, and its file."""
    file = primary_face("regular").path
    return TTFontFace(str(file)), file.read_bytes()


def _whole_font(doc: Any) -> PDFTrueTypeFont:
    """The regular face entire, since nobody knows what will be typed; coded as WinAnsi and _LETTERS."""
    face, data = _whole_face()
    program = PDFStream(PDFDictionary({"Length1": len(data)}), data)
    name = PDFName(face.name.decode("ascii"))
    coded = dict(zip(_SELDOM, _LETTERS, strict=True))
    characters = [
        ord(coded.get(code) or bytes([code]).decode("cp1252", "replace")) for code in range(32, 256)
    ]
    font = PDFTrueTypeFont()
    font.Name = FONT_NAME
    font.BaseFont = face.name.decode("ascii")
    font.FirstChar = 32
    font.LastChar = 255
    font.Widths = PDFArray([face.getCharWidth(character) for character in characters])
    differences = [(code, PDFName(_LETTERS[letter])) for code, letter in coded.items()]
    font.Encoding = PDFDictionary(
        {
            "Type": PDFName("Encoding"),
            "BaseEncoding": PDFName("WinAnsiEncoding"),
            "Differences": PDFArray(tuple(chain.from_iterable(differences))),
        }
    )
    font.FontDescriptor = doc.Reference(
        PDFDictionary(
            {
                "Type": PDFName("FontDescriptor"),
                "FontName": name,
                "Flags": 32,  # non-symbolic
                "FontBBox": PDFArray(face.bbox),
                "ItalicAngle": face.italicAngle,
                "Ascent": face.ascent,
                "Descent": face.descent,
                "CapHeight": face.capHeight,
                "StemV": face.stemV,
                "FontFile2": doc.Reference(program),
            }
        )
    )
    return font
