"""The hook-up lead: voltage lost and heat made in it, ΔU = 2·L·R·I."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.numbers.constants import CLASS_5_OHM_PER_KM, MAINS_V
from guidegen.numbers.model import Number
from guidegen.numbers.wording import figure, percent, precise
from guidegen.vehicle.description import Equipment, Figures

_SOURCE = "Resistance by IEC 60228 class 5, plain copper at 20 °C"


def lead_ohm(length_mm: float, section_mm2: float) -> float:
    """There and back. Raises KeyError for a section that IEC 60228 does not list here."""
    return 2 * length_mm / 1e6 * CLASS_5_OHM_PER_KM[section_mm2]


def lead_numbers(equipment: Equipment, figures: Figures) -> Iterator[Number]:
    length, section, hook_up = figures.lead_length, figures.lead_section, equipment.hook_up
    if not (length and section in CLASS_5_OHM_PER_KM and section and hook_up and hook_up.inlet):
        return
    metres, amps, per_km = length / 1000, hook_up.inlet, CLASS_5_OHM_PER_KM[section]
    ohm = lead_ohm(length, section)
    drop, heat = ohm * amps, ohm * amps**2
    which = f"{precise(metres)} m of {figure(section, 2)} mm²"
    both = f"2 · {precise(metres)} m · {per_km} Ω/km"
    assumptions = ("A warm lead loses up to a quarter more.",)
    yield Number(
        id="lead.drop",
        subject="lead",
        title="Voltage lost in the lead",
        value=drop,
        unit="V",
        text=f"{which} at {precise(amps)} A loses {drop:.1f} V ({percent(drop / MAINS_V, 1)})",
        formula=f"ΔU = {both} · {precise(amps)} A = {precise(drop)} V",
        assumptions=assumptions,
        source=_SOURCE,
    )
    yield Number(
        id="lead.heat",
        subject="lead",
        title="Heat made in the lead",
        value=heat,
        unit="W",
        text=f"At {precise(amps)} A the lead gives off {heat:.0f} W of heat: uncoil it fully",
        formula=f"P = R · I² = {both} · ({precise(amps)} A)² = {precise(heat)} W",
        assumptions=assumptions,
        source=_SOURCE,
    )


def lead_missing(equipment: Equipment, figures: Figures) -> Iterator[tuple[str, str]]:
    if not equipment.hook_up:
        return
    if not figures.lead_length:
        yield "lead.drop", "the lead's length is not given"
    if not figures.lead_section:
        yield "lead.drop", "the lead's cross-section is not given"
    elif figures.lead_section not in CLASS_5_OHM_PER_KM:
        known = ", ".join(figure(s, 2) for s in CLASS_5_OHM_PER_KM)
        yield "lead.drop", f"{figure(figures.lead_section, 2)} mm² is not a usual lead: {known} mm² are known"
