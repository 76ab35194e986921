"""The yard as one page for a browser: no scripts, no other files, every text escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html import escape

from guidegen.desk.yard import Standings, counted, told
from guidegen.trade.records import Trade

_STYLE = """
:root { color-scheme: light; }
body { font: 15px/1.45 system-ui, sans-serif; color: #1a1a1a; background: #fff; margin: 2rem auto;
  max-width: 75rem; padding: 0 1.5rem; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.2rem; margin: 0 0 .2rem; }
table { border-collapse: collapse; width: 100%; margin: 1rem 0 2.5rem; }
th, td { text-align: left; vertical-align: top; padding: .35rem .8rem .35rem 0;
  border-bottom: 1px solid #8c8c8c; font-variant-numeric: tabular-nums; }
article { border-top: 2px solid #1a1a1a; padding: 1rem 0 2rem; break-inside: avoid; }
article svg { width: 100%; height: auto; border: 1px solid #8c8c8c; }
summary { cursor: pointer; }
p.soft, span.soft { color: #404040; margin: 0; } ul { margin: .4rem 0 .8rem; padding-left: 1.2rem; }
strong.mend::before { content: "\\25B2\\00A0"; } a { color: #1a1a1a; }
@media print { body { margin: 0; max-width: none; } article { break-before: page; } }
"""
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
_TAG = re.compile(r"<[A-Za-z][^>]*>")
_NAMED = re.compile(
    r"""(\s(?:id|aria-labelledby|aria-describedby)="|\s(?:xlink:)?href="\#|url\(\#)(?=[^"\s)])"""
)


def yard_page(title: str, vehicles: Iterable[Standings], trade: Trade) -> str:
    """The whole page. Vehicles without errors have their plan, as the plan document draws it."""
    rows = tuple(vehicles)
    body = "\n".join((*_table(rows), *(part for row in rows for part in _article(row, trade))))
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{escape(_POLICY)}">
<title>{escape(title)}</title>
<style>{_STYLE}</style>
</head>
<body>
<h1>{escape(title)}</h1>
{body}
</body>
</html>
"""


def _table(rows: tuple[Standings, ...]) -> Iterator[str]:
    heads = ("Vehicle", "Stock no.", "To mend", "To locate", "First check", "Sale", "Handover", "Print")
    titles = "".join(f'<th scope="col">{head}</th>' for head in heads)
    yield f"<table><thead><tr>{titles}</tr></thead><tbody>"
    for row in rows:
        yield _row(row)
    yield "</tbody></table>"


def _row(row: Standings) -> str:
    vehicle = row.vehicle
    if vehicle is None:
        said = _mend("the file is unreadable")
        return f'<tr><th scope="row">{_link(row)}</th><td colspan="7">{said}</td></tr>'
    days = [str(check.on) if check else "—" for check in row.checked.values()]
    mend = _mend(counted(row.errors, "error")) if row.errors else _others(row)
    cells = (escape(vehicle.stock_number), mend, str(len(vehicle.to_locate) or "—"), *days, _printed(row))
    return f'<tr><th scope="row">{_link(row)}</th>{"".join(f"<td>{cell}</td>" for cell in cells)}</tr>'


def _others(row: Standings) -> str:
    return counted(row.other_warnings, "warning") if row.other_warnings else "nothing"


def _link(row: Standings) -> str:
    name = row.vehicle.name if row.vehicle else row.file.name
    return f'<a href="#{_anchor(row)}">{escape(name)}</a>'


def _anchor(row: Standings) -> str:
    return "v-" + re.sub(r"[^A-Za-z0-9]+", "-", row.file.name)


def _mend(text: str) -> str:
    return f'<strong class="mend">{escape(text)}</strong>'


def _printed(row: Standings) -> str:
    return escape(row.print_state) if row.print_state == "up to date" else _mend(row.print_state)


def _article(row: Standings, trade: Trade) -> Iterator[str]:
    vehicle = row.vehicle
    yield f'<article id="{_anchor(row)}">'
    yield f"<h2>{escape(vehicle.name if vehicle else row.file.name)}</h2>"
    if vehicle:
        known = (row.file.name, vehicle.layout.name, vehicle.stock_number, vehicle.owner)
        yield f'<p class="soft">{escape(" · ".join(word for word in known if word))}</p>'
    yield "<ul>"
    yield from (f"<li>{line}</li>" for line in _lines(row))
    yield "</ul>"
    yield _plan(row, trade)
    yield "</article>"


def _lines(row: Standings) -> Iterator[str]:
    for finding in row.findings:
        if finding.severity == "error":
            place = f"line {finding.mark.line}: " if finding.mark.line else ""
            yield _mend(f"{place}{finding.message}")
    vehicle = row.vehicle
    if vehicle is None:
        return
    if vehicle.to_locate:
        yield "To be located: " + escape(", ".join(missing.name for missing in vehicle.to_locate))
    if row.to_check:
        yield f"{counted(row.to_check, 'line')} marked “to check”"
    yield from _warnings(row)
    for name, check in row.checked.items():
        yield escape(f"{name.capitalize()} check: {told(check)}")
    yield "Callout numbers: " + ("frozen" if row.frozen else "not frozen")
    if row.renumbered:
        yield _mend(f"{row.renumbered} callout numbers are not those of the last print")
    for state in dict.fromkeys(row.documents.values()):
        names = ", ".join(name for name, its in row.documents.items() if its == state)
        yield escape(f"{state.capitalize()}: {names}")


def _warnings(row: Standings) -> Iterator[str]:
    """What else is warned of, to be unfolded."""
    others = [f for f in row.findings if f.severity == "warning" and f.rule not in ("to-locate", "to-check")]
    if others:
        lines = "".join(f"<li>line {f.mark.line}: {escape(f.message)}</li>" for f in others)
        yield f"<details><summary>{counted(len(others), 'warning')}</summary><ul>{lines}</ul></details>"


def _plan(row: Standings, trade: Trade) -> str:
    from guidegen.drawing.svg import write_svg
    from guidegen.errors import GuidegenError
    from guidegen.plan.numbering import numbered
    from guidegen.plan.sheet import plan_sheet

    if row.vehicle is None or row.errors:
        return ""
    printed = _printed_plan(row)
    if printed:
        return inline(printed, _anchor(row))
    try:
        drawing = write_svg(plan_sheet(numbered(row.vehicle), trade).sheet)
    except GuidegenError as error:
        return f"<p>{escape(str(error))}</p>"
    return inline(drawing, _anchor(row))


def _printed_plan(row: Standings) -> str:
    """The plan of the pack when it is up to date, since to draw it anew takes a while; else ""."""
    if row.pack is None or row.vehicle is None or row.documents.get("plan") != "up to date":
        return ""
    file = row.pack / f"{row.vehicle.id}-plan.svg"
    text = file.read_text("utf-8") if file.is_file() else ""
    return text if "<svg" in text and "<script" not in text.lower() else ""


def inline(drawing: str, name: str) -> str:
    """An SVG document as part of a page; `name` keeps its ids apart from those of other drawings."""
    svg = drawing[drawing.index("<svg") :]
    return _TAG.sub(lambda tag: _NAMED.sub(rf"\g<1>{name}-", tag[0]), svg)
