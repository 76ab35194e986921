"""What stands on one sticker: a large number with symbol, name and system, or a warning.

Everything is drawn for a box of any size. The numbered stickers of a set share one size of number and, where
its names are not too long, of name. What cannot be set raises DoesNotFit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import chain, product
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.parts import CAUTION_GROUND, INK, edge_of, signal_word
from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import BLACK, WHITE, Circle, Item, Line, Rect, Style, Text, moved
from guidegen.drawing.shapes import marker
from guidegen.drawing.symbols import symbol
from guidegen.paper.blocks import draw_lines
from guidegen.paper.breaking import bind_numbers
from guidegen.paper.text import DoesNotFit, TextLine, TextStyle, balance, height_mm, line_count, wrap
from guidegen.trade.records import Kind, Signal, System, WarningSticker

Box: TypeAlias = tuple[float, float, float, float]  # x, y, width, height
_NAME_PT = (28.0, 24.0, 20.0, 18.0, 16.0, 14.0, 13.0, 12.0, 11.0, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
# (most lines, most of the height, hyphenated) of names that are too long for the look of their set.
_NAME_ROOM = (
    (2, 0.4, ""),
    (3, 0.46, ""),
    (4, 0.5, "en"),
    (99, 0.7, "en"),
)
_BEFORE_A_NAME = {"and", "for", "of", "the", "to", "with"}  # no line ends with these, nor with a figure
_NAME_EDGE_MM = 0.6  # from the names to the edge of the ink, for sheets that are fed askew
_NAMES_SHARE = 0.4  # of the height, for the names of a set
_MOST = 0.9  # of a set's names fit in its size of type
_OVER_NAME_MM = 0.6
_GAP_MM = 1.6
# None smaller: warnings are read without glasses.
_WARNING_PT = (18.0, 17.0, 16.0, 15.0, 14.0, 13.0, 12.0, 11.0, 10.0, 9.5, 9.0, 8.5)
WRITE_LINE_MM = 7.0


class _Setting(Struct, frozen=True):
    """How a warning stands on its label."""

    hanging: bool = True  # its lines begin beside the sign, else below it at the left
    pad_mm: float = 1.4  # more with large lines
    sign_mm: float = 15.0  # at most
    title_times: float = 1.2  # the size of the lines


_ROOMY = (_Setting(), _Setting(hanging=False))
_CLOSE = (
    _Setting(hanging=False, pad_mm=1.2, sign_mm=8.0, title_times=1.1),
    _Setting(pad_mm=1.0, sign_mm=8.5, title_times=1.1),
)
_EDGE_MM = 0.35
_PAD_GROWS_PT = 13.0
_LEAST_SIGN = 0.75  # of its size, where the lines pass below it
_CLEAR_MM = 1.8  # between the words and the frame at their right


class NumberSticker(Struct, frozen=True):
    """What a numbered sticker says."""

    number: int
    name: str
    kind: Kind
    system: System

    @property
    def colour(self) -> str:
        return self.kind.colour or self.system.colour


class NumberLook(Struct, frozen=True):
    """What the numbered stickers of a set share: their numbers stand on one line across a sheet."""

    name_pt: float
    names_mm: float  # height of the names at the foot
    number_pt: float


def number_look(stickers: Sequence[NumberSticker], box: Box) -> NumberLook:
    """The largest names that fit most of the stickers in one or two lines, and a number that fits each.

    In two where more names fit then and the number is no smaller. Names that do not fit in two lines at any
    size do not count.
    """
    inner, most_mm = _inner_mm(box) - _NAME_EDGE_MM, _NAMES_SHARE * box[3]
    smallest = _name_style(_NAME_PT[-1])
    names = [s.name for s in stickers if _fits(s.name, inner, smallest, 2)]
    for style in map(_name_style, _NAME_PT):
        fitting = {lines: sum(_fits(name, inner, style, lines) for name in names) for lines in (1, 2)}
        looks = [
            (_look(stickers, box, style, lines * style.line_mm), many)
            for lines, many in fitting.items()
            if lines * style.line_mm <= most_mm and many >= _MOST * len(names)
        ]
        if looks:
            return max(looks, key=lambda one: (one[0].number_pt, one[1]))[0]
    return _look(stickers, box, smallest, min(2 * smallest.line_mm, most_mm))


def _look(stickers: Sequence[NumberSticker], box: Box, style: TextStyle, names_mm: float) -> NumberLook:
    top = box[3] - names_mm - _OVER_NAME_MM
    return NumberLook(style.size_pt, names_mm, _number_pt(stickers, _inner_mm(box), top))


def _inner_mm(box: Box) -> float:
    return box[2] - _column_mm(box) - _GAP_MM


def _column_mm(box: Box) -> float:
    return min(7.5, max(5.6, 0.12 * box[2]))


def _number_pt(stickers: Sequence[NumberSticker], inner: float, top: float) -> float:
    width = inner - _symbol_mm(inner, top) - _GAP_MM
    widest = max((text_width_mm(str(s.number), 100.0, "bold") for s in stickers), default=100.0)
    return min(100 * width / widest, 92.0 * top / cap_height_mm(100.0))


def _symbol_mm(inner: float, top: float) -> float:
    return min(top, 0.34 * inner)


def draw_number(sticker: NumberSticker, box: Box, look: NumberLook) -> tuple[Item, ...]:
    """Number, symbol, name below; at the left the system's shape and bar.

    A name too long for the look is set smaller, and takes from the number what it needs. Raises DoesNotFit.
    """
    x, y, width, height = box
    column, inner = _column_mm(box), _inner_mm(box)
    left = x + column + _GAP_MM
    lines = _name_lines(sticker.name, inner - _NAME_EDGE_MM, height, look)
    names_mm = max(look.names_mm, height_mm(lines))
    top = height - names_mm - _OVER_NAME_MM
    side = _symbol_mm(inner, top)
    size = min(look.number_pt, _number_pt((sticker,), inner, top))
    baseline = y + top / 2 + cap_height_mm(size) / 2
    number = Text(left, baseline, str(sticker.number), size, "bold", INK)
    mark = symbol(sticker.kind.symbol, left + inner - side, y + (top - side) / 2, side, INK)
    below = names_mm - height_mm(lines)  # a single line stands in the middle, once its label is cut out
    words = draw_lines(lines, left, y + height - names_mm + below / 2, inner)
    return (*_system_column(sticker, x, y, column, height), number, mark, *words)


def _name_style(size: float, language: str = "") -> TextStyle:
    return TextStyle(size, "bold", INK, 1.12, language)


def _fits(name: str, width: float, style: TextStyle, most: int) -> bool:
    """Whether one or two lines hold the name."""
    if style.width_mm(name) <= width or most < 2:
        return style.width_mm(name) <= width
    try:
        return line_count(name, width, style) <= most
    except DoesNotFit:
        return False


def _in_two(name: str, width: float, style: TextStyle) -> tuple[TextLine, ...] | None:
    """The name in one line or two, broken behind a comma if it can be; None where it is longer."""
    if not _fits(name, width, style, 2):
        return None
    before, comma, behind = name.rpartition(", ")
    parts = (before + comma.rstrip(), behind)
    if comma and style.width_mm(name) > width and max(map(style.width_mm, parts)) <= width:
        return tuple(line for part in parts for line in wrap(part, width, style))
    words = bind_numbers(" ".join(name.split())).split(" ")  # not at its no-break spaces
    for cut in range(
        len(words) - 1, 0, -1
    ):  # "carbon monoxide / alarm": what qualifies a word stands together
        parts = (" ".join(words[:cut]), " ".join(words[cut:]))
        whole = words[cut - 1][-1].isdigit() or words[cut - 1] in _BEFORE_A_NAME
        if not whole and max(map(style.width_mm, parts)) <= width < style.width_mm(name):
            return tuple(line for part in parts for line in wrap(part, width, style))
    return balance(name, width, style)


def _name_lines(name: str, width: float, height: float, look: NumberLook) -> tuple[TextLine, ...]:
    """In the size of the look, else smaller within its height, else in ever more lines."""
    for size in (s for s in _NAME_PT if s <= look.name_pt):
        style = _name_style(size)
        short = _in_two(name, width, style)
        if short and height_mm(short) <= look.names_mm + 1e-6:
            return short
    last: DoesNotFit | None = None
    for most, share, language in _NAME_ROOM:
        for size in (s for s in _NAME_PT if s <= look.name_pt):
            try:
                lines = balance(name, width, _name_style(size, language))
            except DoesNotFit as error:
                last = error
                continue
            if len(lines) <= most and height_mm(lines) <= share * height:
                return lines
    raise last or DoesNotFit(name, height_mm(lines) - 0.7 * height, place="its sticker")


def _system_column(
    sticker: NumberSticker, x: float, y: float, column: float, height: float
) -> Iterator[Item]:
    """The shape with the letter, and below it the bar in the system's colour, to the foot."""
    system, colour = sticker.system, sticker.colour
    radius = 0.36 * column
    middle = y + 0.57 * column
    outline = Style(fill=WHITE, stroke=colour, width_mm=0.6)
    edged = Style(fill=colour, stroke=INK, width_mm=0.2) if sticker.kind.colour else Style(fill=colour)
    yield marker(system.shape, x + column / 2, middle, radius, outline if system.outlined else edged)
    disc = max(0.62 * radius, 1.45)
    yield Circle(x + column / 2, middle, disc, Style(fill=WHITE))
    size = max(7.0, 1.2 * disc / (cap_height_mm(100.0) / 100))
    yield Text(x + column / 2, middle + cap_height_mm(size) / 2, system.letter, size, "bold", INK, "middle")
    start = y + 1.2 * column
    wide = 0.55 * column
    bar = outline if system.outlined else edged
    yield Rect(x + (column - wide) / 2, start, wide, y + height - start, bar, radius=0.4)


def draw_warning(sticker: WarningSticker, lines: Sequence[str], box: Box) -> tuple[Item, ...]:
    """Sign, signal word, title and lines on a bordered ground, in the largest size that fits the box.

    Raises DoesNotFit when they do not fit at 8.5 pt.
    """
    return _warning(sticker, lines, box, *_largest(sticker, tuple(lines), box[2], box[3]))


@lru_cache(maxsize=256)  # one is tried before it is drawn, and may be drawn on several labels
def _largest(
    sticker: WarningSticker, lines: tuple[str, ...], width: float, height: float
) -> tuple[float, _Setting]:
    """The size and setting in which a warning fits a box of that size."""
    last: DoesNotFit | None = None
    for size, setting in chain(product(_WARNING_PT, _ROOMY), product(_WARNING_PT, _CLOSE)):
        try:
            _warning(sticker, lines, (0.0, 0.0, width, height), size, setting)
        except DoesNotFit as error:
            last = error
        else:
            return size, setting
    assert last is not None
    raise last


def _warning(
    sticker: WarningSticker, lines: Sequence[str], box: Box, size: float, setting: _Setting
) -> tuple[Item, ...]:
    """In one size and setting."""
    x, y, width, height = box
    panel = _panel(sticker.signal, box)
    pad = setting.pad_mm * max(1.0, size / _PAD_GROWS_PT) + 2 * (panel.x - x)
    sign_mm = min(setting.sign_mm, 0.42 * height, 0.2 * width) if sticker.sign else 0.0
    left = x + pad + (sign_mm + 1.6 if sign_mm else 0.0)
    right = x + width - max(pad, _CLEAR_MM)
    word = signal_word(sticker.signal, max(7.0, size - 1))
    style = TextStyle(size * setting.title_times, "bold", leading=1.12)
    # Most sizes are too large: lines are only counted before it is known that this one is not.
    head_mm = word.height + _lines_mm(sticker.title, right - left, style) + 0.3
    if not setting.hanging:  # the lines pass below the sign
        sign_mm, least = min(sign_mm, head_mm + 0.5), _LEAST_SIGN * sign_mm
        if sign_mm < least:
            raise DoesNotFit(sticker.title, least - sign_mm, place="the room beside its sign")
    at = y + pad + head_mm
    room = y + height - pad - at
    start, wide = (left, right - left) if setting.hanging else (x + pad, right - x - pad)
    used = _body_mm(sticker, lines, wide, size) + (WRITE_LINE_MM if sticker.write else 0.0)
    if used > room + 1e-6:
        raise DoesNotFit(sticker.title, used - room, place="its sticker")
    items: list[Item] = [panel, moved(word.items, left, y + pad)]
    if sign_mm:
        items.append(symbol(sticker.sign, x + pad, y + pad, sign_mm))
    title = balance(sticker.title, right - left, style)
    items += draw_lines(title, left, y + pad + word.height, right - left)
    items += _body(sticker, lines, start, at, wide, size)
    if sticker.write:
        items += _writing(sticker.write, x + pad, y + height - pad - 0.8, width - 2 * pad)
    return tuple(items)


def _panel(signal: Signal, box: Box) -> Rect:
    """The ground and its edge, heavy for a danger, within the box that a thin one fills."""
    edge = edge_of(signal)
    inset = (edge.width_mm - _EDGE_MM) / 2
    x, y, width, height = box
    ground = WHITE if signal == "notice" else CAUTION_GROUND
    style = replace(edge, fill=ground)
    return Rect(x + inset, y + inset, width - 2 * inset, height - 2 * inset, style, radius=0.8)


def _lines_mm(text: str, width: float, style: TextStyle) -> float:
    """How high the text is in the fewest lines, balanced or not."""
    return sum([style.line_mm] * line_count(text, width, style))


def _body_style(sticker: WarningSticker, size: float) -> tuple[TextStyle, float]:
    """Of the lines, and how far they stand behind their numbers."""
    style = TextStyle(size, leading=1.15)
    return style, style.width_mm("8") + 1.4 if sticker.numbered else 0.0


def _body_mm(sticker: WarningSticker, lines: Sequence[str], width: float, size: float) -> float:
    style, indent = _body_style(sticker, size)
    return sum([_lines_mm(line, width - indent, style) for line in lines])


def _body(
    sticker: WarningSticker, lines: Sequence[str], x: float, y: float, width: float, size: float
) -> Iterator[Item]:
    style, indent = _body_style(sticker, size)
    used = 0.0
    for number, line in enumerate(lines, 1):
        if sticker.numbered:
            yield Text(x, y + used + style.baseline_mm, str(number), size, "bold")
        yield from draw_lines(wrap(line, width - indent, style), x + indent, y + used, width - indent)
        used += _lines_mm(line, width - indent, style)


def _writing(words: Sequence[str], x: float, y: float, width: float) -> Iterator[Item]:
    """Words with a line to write on behind each, side by side."""
    gap = 3.0
    share = (width - gap * (len(words) - 1)) / len(words)
    for number, word in enumerate(words):
        left = x + number * (share + gap)
        label = TextStyle(8.5)
        yield Text(left, y, word, label.size_pt)
        start = left + label.width_mm(word) + 1.5
        yield Line(((start, y + 0.4), (left + share, y + 0.4)), Style(stroke=BLACK, width_mm=0.25))


__all__ = ["NumberLook", "NumberSticker", "draw_number", "draw_warning", "number_look"]
