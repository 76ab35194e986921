"""A sheet with one of everything that can be drawn, and a document of it."""

from __future__ import annotations

import hashlib
import io
import sys

from PIL import Image

from guidegen.drawing.primitives import (
    WHITE,
    Circle,
    Destination,
    Document,
    Group,
    Item,
    Line,
    Link,
    Path,
    Picture,
    Rect,
    Sheet,
    Style,
    Text,
    translate,
)

POLISH = "Zażółć gęślą jaźń"
CZECH = "Příliš žluťoučký kůň"
NORDIC = "Ångström, ðþæøå · ß €"
GREEK = "Γαῖα, νερό"
CYRILLIC = "вода и газ, їжа"
ADDRESS = "https://example.org/a?b=(1)&c=2"

_STAR = (("M", 0.0, 0.0), ("L", 20.0, 0.0), ("L", 4.0, 14.0), ("L", 10.0, -6.0), ("L", 16.0, 14.0), ("Z",))
_WAVE = (("M", 0.0, 0.0), ("C", 10.0, -10.0, 20.0, 20.0, 30.0, 0.0), ("L", 30.0, 15.0), ("Z",))


def photograph(kind: str = "JPEG") -> bytes:
    """A smooth ramp of colours, as JPEG, or as PNG with a clear ground round a disc."""
    image = Image.new("RGBA", (80, 80))
    for x in range(80):
        for y in range(80):
            inside = kind == "JPEG" or (x - 40) ** 2 + (y - 40) ** 2 < 900
            image.putpixel((x, y), (3 * x, 3 * y, 128, 255 if inside else 0))
    out = io.BytesIO()
    (image.convert("RGB") if kind == "JPEG" else image).save(out, kind)
    return out.getvalue()


def texts() -> tuple[Item, ...]:
    black = "#111111"
    return (
        Text(15, 20, "Cylinder 0123456789", 24, "bold"),
        Text(15, 30, f"{POLISH} · {CZECH} · {NORDIC}", 10),
        Text(15, 36, f"{GREEK} · {CYRILLIC}", 10, colour=black),
        Text(15, 42, f"{GREEK} · {CYRILLIC}", 10, "bold"),
        Text(195, 20, "right (end) \\", 12, anchor="end", colour="#a01010"),
        Text(105, 48, "in the middle", 10, anchor="middle"),
        Text(160, 125, "upwards 90", 10, turn_deg=-90),
        Text(178, 125, "slanting", 10, turn_deg=-45, anchor="middle"),
        Text(190, 105, "down", 10, "bold", turn_deg=90),
        Text(15, 200, "<b>&amp; not markup</b>", 10),
    )


def shapes() -> tuple[Item, ...]:
    thin, thick = Style(stroke="#111111", width_mm=0.5), Style(stroke="#003366", width_mm=2)
    square_ends = Style(stroke="#003366", width_mm=2, round_ends=False)
    star = Style(fill="#ffcc00", stroke="#000000", width_mm=0.2)
    return (
        Line(((15, 50), (60, 50)), thin),
        Line(((15, 54), (60, 54)), Style(stroke="#111111", width_mm=0.5, dash_mm=(2, 1))),
        Line(((15, 58), (60, 58)), square_ends),
        Line(((15, 64), (60, 64)), thick),
        Line(
            ((70, 50), (90, 50), (80, 64)), Style(fill="#ddeeff", stroke="#003366", width_mm=0.7), closed=True
        ),
        Line(((100, 50), (120, 50), (110, 64)), square_ends),
        Group((Path(_STAR, star),), transform=translate(130, 56)),
        Group((Path(_STAR, star, even_odd=True),), transform=translate(160, 56)),
        Group((Path(_WAVE, Style(fill="#eeeeee", stroke="#990000")),), transform=translate(70, 75)),
        Circle(115, 82, 8, Style(fill=WHITE, stroke="#000000")),
        Rect(130, 75, 20, 14, thin),
        Rect(155, 75, 30, 14, Style(fill="#ffee88", stroke="#000000", width_mm=0.5), radius=3),
        Rect(20, 105, 30, 20, Style(fill="#cc0000")),
        Circle(50, 115, 12, Style(fill="#0000cc", fill_opacity=0.5, stroke="#000000")),
        Rect(40, 112, 30, 4, Style(fill="#008800")),
    )


def groups() -> tuple[Item, ...]:
    frame = Rect(0, 0, 20, 10, Style(stroke="#000000", width_mm=0.3))
    smaller = Group((frame, Text(1, 6, "within", 14)), transform=(0.5, 0, 0, 0.5, 3, 12))
    turned = (frame, Text(1, 6, "turned", 9), smaller)
    clipped = (Circle(10, 10, 12, Style(fill="#667788")), Text(1, 10, "clipped", 12, "bold", WHITE))
    return (
        Group(clipped, transform=translate(80, 105), clip=(0, 0, 20, 20)),
        Group(turned, transform=(0.866, 0.5, -0.5, 0.866, 120, 105), clip=(-1, -1, 30, 30)),
        Group(
            (Circle(5, 5, 4, Style(fill=WHITE, stroke="#111111"), css="badge"),),
            transform=translate(100, 135),
            css="callout",
            attributes=(("data-number", "1"),),
            title='1: pump "switch" <left> & right',
        ),
        Rect(65, 135, 30, 30, Style(fill="#ffee88")),
        Picture(15, 135, 45, 30, photograph("JPEG"), "A ramp"),
        Picture(65, 135, 30, 30, photograph("PNG"), "A dot"),
    )


def sheet() -> Sheet:
    return Sheet(210, 297, (*texts(), *shapes(), *groups()), "Every primitive", "One of each")


def document() -> Document:
    first = (
        Destination("first", 0, "First – část", 0),
        Link(15, 12, 80, 10, ADDRESS),
        Group((Link(0, 0, 10, 10, "#second"),), transform=(2, 0, 0, 2, 30, 250)),
    )
    second = (
        Destination("second", 40, "Second", 1),
        Destination("deep", 60, "Deeper", 3),
        Text(15, 40, "Second page", 12),
    )
    one = sheet()
    return Document(
        (Sheet(210, 297, (*one.items, *first)), Sheet(105, 148, second)),
        title="Prüfung – проба",
        author="An author",
        subject="A subject",
        language="pl",
        keywords=("gas", "water"),
    )


if __name__ == "__main__":  # prints digests of all that is written, for another process to compare
    from guidegen.drawing.pdf import write_pdf
    from guidegen.drawing.png import write_png
    from guidegen.drawing.svg import write_svg

    for data in (write_pdf(document()), write_svg(sheet()).encode(), write_png(sheet(), 30)):
        sys.stdout.write(hashlib.sha256(data).hexdigest() + "\n")
