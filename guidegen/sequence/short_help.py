"""Quick help in one line a complaint, for a card that has room for little."""

from __future__ import annotations

from guidegen.sequence.helping import quick_help
from guidegen.sequence.model import HelpEntry, ShortHelp
from guidegen.trade.records import Symptom, Trade
from guidegen.vehicle.model import Vehicle


def short_help(
    vehicle: Vehicle, trade: Trade, *, most: int = 6, characters: int = 90
) -> tuple[ShortHelp, ...]:
    """The complaints that matter most, in the order of the quick help, each on one line.

    A line names the first checks of the quick help with their callout numbers, as many as `characters`
    hold. Complaints with nothing short to look at are left out.
    """
    entries = {e.symptom: e for e in quick_help(vehicle, trade)}
    asked = sorted((s for s in trade.symptoms if s.rank and s.id in entries), key=lambda s: s.rank)
    lines = {s.id: line for s in asked if (line := _line(s, entries[s.id], characters)).checks}
    kept = list(lines)[:most]
    return tuple(lines[id] for id in entries if id in kept)


def _line(symptom: Symptom, entry: HelpEntry, characters: int) -> ShortHelp:
    line = ShortHelp(symptom.id, symptom.short, ())
    for hint in entry.hints:
        if hint.short:
            longer = ShortHelp(symptom.id, symptom.short, (*line.checks, (hint.short, hint.numbers)))
            if len(longer.text) > characters:
                break
            line = longer
    return line
