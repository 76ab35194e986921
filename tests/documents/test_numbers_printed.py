"""Every number on the numbers pages of every sample, read back from the PDF and worked out anew.

Nothing of guidegen.numbers is used for what is right: figures come from the sample's own YAML by a library of
units; water, heating values and boiling points from CoolProp and chemicals; conductors from IEC 60228 (from
memory). What was read is crossed out; at the end no figure may be left that nobody asked about.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pint
import pypdfium2
import pytest
import yaml
from chemicals.combustion import combustion_data
from chemicals.identifiers import MW, CAS_from_any
from chemicals.reaction import Hfg
from CoolProp.CoolProp import PropsSI

from guidegen.documents.context import Context
from guidegen.documents.numbers_pages import compose_numbers
from guidegen.drawing.pdf import write_pdf
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
UNITS = pint.UnitRegistry()
NUMBER = r"(−?\d+(?:\.\d+)?)"
Loads = dict[str, tuple[float, ...]]
Uses = frozenset[tuple[str, float]]
DRAWBAR_M = 1.28  # of both caravans
FLUIDS = {"propane": ("Propane", {"C": 3, "H": 8}), "butane": ("n-Butane", {"C": 4, "H": 10})}
OHM_PER_KM = {1.5: 13.3, 2.5: 7.98}
USABLE = {"lead": 0.5, "agm": 0.5, "lithium": 0.8}  # common practice, no source
GAS_SHARE, MAINS_SHARE = 0.80, 0.95  # of the heat that reaches the water: common practice, no source
SPELLED = {"Ah": "A*h", "kWh": "kW*h", "mm²": "mm**2", "MJ/kWh": "MJ/(kW*h)", "kJ/(kg·K)": "kJ/(kg*K)"}


def amount(text: str, unit: str) -> float:
    """A quantity of the file in that unit."""
    spelled = re.sub("|".join(map(re.escape, SPELLED)), lambda found: SPELLED[found[0]], text)
    return float(UNITS.Quantity(spelled).to(SPELLED.get(unit, unit)).magnitude)


@cache
def water_mj_per_l() -> float:
    """From 15 to 60 °C, by the enthalpies of IAPWS-95."""
    cold, hot = (PropsSI("H", "T", c + 273.15, "P", 101325, "Water") for c in (15, 60))
    return float(PropsSI("D", "T", 288.15, "P", 101325, "Water")) / 1000 * (hot - cold) / 1e6


@cache
def kwh_per_kg(fuel: str) -> float:
    cas = CAS_from_any(fuel)
    return float(-combustion_data(formula=FLUIDS[fuel][1], Hf=Hfg(cas)).LHV / MW(cas) / 3600)


@cache
def boiling_c(fuel: str) -> float:
    return float(PropsSI("T", "P", 101325, "Q", 0, FLUIDS[fuel][0])) - 273.15


class Page:
    """The text of the pages; what is asked for is compared and crossed out."""

    def __init__(self, path: Path) -> None:
        pdf = write_pdf(compose_numbers(Context(read_vehicle(path), load_trade())))
        pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]
        feet = [re.sub(r"[^\n]*Page \d+ of \d+\s*$", "", text) for text in pages]
        self.text = re.sub(r"\s+", " ", " ".join(feet))

    def read(self, pattern: str, *values: float, times: int = 1, rounded: float = 0.0) -> None:
        """The pattern stands `times` times; each # in it is a number, within 1 % of its value.

        rounded: or within that, where figures one below the other have all as many places.
        """
        shown = re.escape(pattern).replace(r"\#", NUMBER).replace(r"\ ", " ")
        found = list(re.finditer(shown, self.text))
        assert len(found) == times, (pattern, self.text)
        for match in found:
            for printed, value in zip(match.groups(), values, strict=True):
                assert float(printed.replace("−", "-")) == pytest.approx(value, rel=0.01, abs=rounded), match[
                    0
                ]
            self.text = self.text.replace(match[0], " … ", 1)

    def about(self, pattern: str, value: float, unit: str) -> None:
        """As people say it: the pattern's ~ is a time in words, rounded as its unit is."""
        shown = re.escape(pattern).replace(r"\ ", " ").replace(r"\~", rf"{NUMBER} (minute|hour|day)s?")
        (match,) = re.finditer(shown.replace("about ", "(?:about|nearly) "), self.text)
        printed, said = float(match[1]), match[2]
        if unit == "min":
            assert (
                said == "minute" and abs(printed - value) <= (0.5 if value < 59.5 else 2.5) + 0.01 * value
            ), match[0]
        else:  # never longer than it is
            hours = value if unit == "h" else value * 24
            exact, step = (hours, 1.0) if said == "hour" else (hours / 24, 1.0 if hours >= 120 else 0.5)
            step = 1.0 if unit == "h" else step
            if "nearly" in match[0]:
                assert exact < printed <= exact + 0.3 * step + 1e-9, match[0]
            else:
                assert printed <= exact + 1e-9 < printed + step, match[0]
        self.text = self.text.replace(match[0], " … ", 1)

    def worked(self, title: str, unit: str, value: float) -> None:
        """The formula with its values put in gives, apart from the code, what stands at its end."""
        (match,) = re.finditer(
            rf"{re.escape(title)}: ([^:]*?) = {NUMBER} ?{re.escape(unit)}\.(?= |$)", self.text
        )
        printed = float(match[2].replace("−", "-"))
        assert printed == pytest.approx(value, rel=0.01), match[0]
        parts = [part for part in match[1].split(" = ") if re.search(r"\d", part)]
        assert evaluated(parts[-1], unit) == pytest.approx(value, rel=0.01), match[0]
        self.text = self.text.replace(match[0], " … ", 1)


def evaluated(formula: str, unit: str) -> float:
    text = re.sub(r"(l|Ah) a day", r"\1/day", formula).replace("²", "**2").replace("Ω", "ohm")
    spelled = "|".join(map(re.escape, sorted((*SPELLED, "l/day", "Ah/day"), key=len, reverse=True)))
    text = re.sub(rf"({spelled})(?![\w/])", lambda f: SPELLED.get(f[1], f[1].replace("Ah", "A*h")), text)
    text = re.sub(r"(\d+(?:\.\d+)?) ?%", r"\1 percent", text)
    text = re.sub(r"(\d+(?:\.\d+)?) ([A-Za-z(][\w*/()]*)", r"(\1 * \2)", text)
    quantity = UNITS.parse_expression(text.replace("·", "*").replace("−", "-"))
    if unit == "kg":
        return float(UNITS.Quantity(quantity).to("").magnitude)
    if unit == "days" and UNITS.Quantity(quantity).check("[]"):
        return float(UNITS.Quantity(quantity).to("").magnitude)
    wanted = {"days": "day", "%": "percent"}.get(unit, SPELLED.get(unit, unit))
    return float(UNITS.Quantity(quantity).to(wanted).magnitude)


class Truth:
    """The figures of one sample, from its YAML alone."""

    def __init__(self, path: Path) -> None:
        self.data: dict[str, Any] = yaml.safe_load(path.read_text())
        self.fitted: dict[str, Any] = self.data["equipment"]

    def figure(self, block: str, key: str, unit: str) -> float:
        written = self.fitted.get(block, {}).get(key)
        return amount(written, unit) if written else 0.0

    @property
    def mains(self) -> Loads:
        """Steps in W of each load on 230 V."""
        steps = {
            name: tuple(amount(w, "W") for w in self.fitted.get(block, {}).get("mains", ()))
            for name, block in (("heating", "heating"), ("water heater", "water_heater"))
        }
        if self.fitted.get("water_heater", {}).get("type") == "combined":
            steps = {"heater": steps["heating"]}
        loads = {name: found for name, found in steps.items() if found}
        for name, block in (("hotplate", "hob"), ("microwave", "microwave"), ("oven", "oven")):
            loads[name] = (self.figure(block, "mains", "W"),)
        loads["air conditioner"] = (self.figure("air_conditioner", "mains", "W"),)
        loads |= {load["name"]: (amount(load["power"], "W"),) for load in self.fitted.get("mains_loads", ())}
        return {name: found for name, found in loads.items() if found[0]} | self.base

    @property
    def base(self) -> Loads:
        loads = {
            "fridge": self.figure("fridge", "mains", "W"),
            "charger": self.figure("hook_up", "charger", "W"),
        }
        return {name: (watts,) for name, watts in loads.items() if watts}

    @property
    def gas(self) -> list[tuple[str, float]]:
        supply = self.fitted.get("gas", {})
        if supply.get("supply") == "underslung-tank":
            return [(supply["tank_gas"], amount(supply["tank"], "kg"))]
        return [(c["gas"], amount(c["size"], "kg")) for c in supply.get("cylinders", ())]

    @property
    def burning(self) -> dict[str, tuple[float, float]]:
        """kW and hours a day of each gas appliance."""
        found = {}
        for block in ("hob", "grill", "oven", "water_heater", "heating"):
            if "gas" in self.fitted.get(block, {}):
                found[block.replace("_", " ")] = (
                    self.figure(block, "gas", "kW"),
                    self.figure(block, "hours_per_day", "h"),
                )
        if "gas" in self.fitted.get("fridge", {}):
            mean = sum(kg * kwh_per_kg(fuel) for fuel, kg in self.gas) / sum(kg for _, kg in self.gas)
            kw = self.figure("fridge", "gas", "kg/h") * mean
            found["fridge"] = (kw, self.figure("fridge", "hours_per_day", "h"))
        return found

    @property
    def daily(self) -> dict[str, tuple[float, float]]:
        """Hours and Ah a day of each 12 V load."""
        loads = [(d["name"], d["power"], d["hours_per_day"]) for d in self.fitted.get("dc_loads", ())]
        fridge = self.fitted.get("fridge", {})
        if fridge.get("type") == "compressor":
            loads.insert(0, ("fridge", fridge["dc"], fridge["hours_per_day"]))
        found = {name: (amount(power, "W"), amount(hours, "h")) for name, power, hours in loads}
        return {name: (hours, watts * hours / 12) for name, (watts, hours) in found.items()}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_printed_number_is_right(path):
    assert len(SAMPLES) == 9
    page, truth = Page(path), Truth(path)
    page.text = page.text.replace(truth.data["name"], "…")
    hook_up(page, truth)
    hot_water(page, truth)
    lead(page, truth)
    water(page, truth)
    gas(page, truth)
    battery(page, truth)
    payload(page, truth)
    sources = r"(IEC|ISO|EN) \d[\d-]+( class 5)?|IAPWS-95|\(EU\) 2021/535|copper at 20 °C|75 kg a person by"
    page.text = re.sub(sources, "…", page.text)
    left = re.findall(r".{0,30}\d.{0,30}", page.text)
    assert not left, left


def hook_up(page: Page, truth: Truth) -> None:
    loads, base = truth.mains, truth.base
    for name, (watts,) in base.items():
        page.read(f"{name} (# W)", watts)
    page.read("230 V by", times=1)
    page.read("A pitch gives #, # or # A", 6, 10, 16)
    page.worked("Together on 16 A", "W", 230 * 16)
    start = page.text.index("breaker of the pitch trips.")
    end = page.text.index("Rated power of each appliance")
    for block in re.split(r" (?=\d+ A \d+ W)", page.text[start:end])[1:]:
        amps, limit = (float(n) for n in re.match(rf"{NUMBER} A {NUMBER} W", block).groups())
        assert limit == 230 * amps
        bars, *notes = re.split(
            r"(Spare in the dashed[^:]*:|Or:|Other sets fit too[^.]*[.]|Alone[^:]*:|Never on[^:]*:)",
            re.sub(rf"^{NUMBER} A {NUMBER} W ", "", block),
        )
        said = {re.split("[ ,]", head)[0]: words for head, words in zip(notes[::2], notes[1::2], strict=True)}
        drawn = [one_bar(bar, loads, base, limit) for bar in re.split(r" ?\bor ", bars)]
        empty = [watts for _, watts in drawn if watts > 7]  # a narrower box, of 0.3 mm, is not seen
        unsaid = empty if any(w >= 50 for w in empty) else []
        assert [float(w) for w in re.findall(NUMBER, said.get("Spare", ""))] == pytest.approx(unsaid, abs=0.5)
        sets = [uses for uses, _ in drawn] + list(fitting_too(said.get("Or:", ""), loads))
        there_are = set(largest_sets(loads, base, limit))
        assert len(sets) == len(set(sets)) and set(sets) <= there_are
        assert ("Other" in said) == (len(there_are) > len(sets))
        fixed = 0.0 if truth.fitted["hook_up"].get("charger_switch") else base["charger"][0]
        reached = {
            name: max((watts for one in sets for n, watts in one if n == name), default=0) for name in loads
        }
        over = {name: [w for w in loads[name] if w > reached[name]] for name in loads if name not in base}
        assert dict(in_words(said.get("Alone", ""))) == {
            name: max(fits)
            for name, steps in over.items()
            if (fits := [w for w in steps if w + fixed <= limit])
        }
        assert dict(in_words(said.get("Never", ""))) == {
            name: steps[0] for name, steps in over.items() if steps and loads[name][0] + fixed > limit
        }
    page.text = page.text[:start] + page.text[end:]


def in_words(note: str) -> Iterator[tuple[str, float]]:
    """Such as "kettle 1000 W or hair dryer 1200 W"."""
    for name, watts in re.findall(rf"([a-z ]+?) {NUMBER} W", note):
        yield re.sub(r"^ ?(or )?", "", name), float(watts)


def fitting_too(note: str, loads: Loads) -> Iterator[Uses]:
    """Such as "heater at 900 W and kettle; kettle and hair dryer."."""
    for words in filter(str.strip, re.split("[;.]", note)):
        names = [re.fullmatch(rf" ?([a-z ]+?)(?: at {NUMBER} W)?", w) for w in re.split(", | and ", words)]
        yield frozenset((n[1], float(n[2]) if n[2] else loads[n[1]][0]) for n in names if n)


def largest_sets(loads: Loads, base: Loads, limit: float) -> list[Uses]:
    """Every set with the base on to which nothing can be added, by trying all there are."""
    names = [name for name in loads if name not in base]
    room = limit - sum(w for (w,) in base.values())
    fits = [c for c in product(*((0.0, *loads[name]) for name in names)) if sum(c) <= room]
    best = [
        a for a in fits if not any(b != a and all(y >= x for x, y in zip(a, b, strict=True)) for b in fits)
    ]
    return [frozenset((n, w) for n, w in zip(names, c, strict=True) if w) for c in best]


def one_bar(bar: str, loads: Loads, base: Loads, limit: float) -> tuple[Uses, float]:
    """One set: its watts are the file's, they fit, nothing more would, and what is spare is said rightly.

    The set, and what is spare where the bar does not say it; less than 50 W alone runs nothing here.
    """
    left_on = sum(w for (w,) in base.values())
    # Where its part is too short for the names, the watts alone stand in it; the text above names them.
    told = re.match(rf"(?:{', '.join(base)})?(?: ?{NUMBER} W(?! spare))?", bar)
    assert told and told[0], bar
    assert told[1] is None or float(told[1]) == pytest.approx(left_on)
    rest = bar[told.end() :]
    spare = re.search(rf"{NUMBER} W spare", rest)
    uses = {
        name.strip(): float(w)
        for name, w in re.findall(rf"([a-z ]+?) {NUMBER} W", rest.replace(" spare", "!"))
        if name.strip()
    }
    assert re.sub(rf"([a-z ]+ )?{NUMBER} W( spare)?", "", rest).strip() == "", bar
    for name, watts in uses.items():
        assert watts in loads[name], bar
    total = left_on + sum(uses.values())
    assert total <= limit
    steps = [(0.0, *loads[name]) for name in loads if name not in base]
    names = [name for name in loads if name not in base]
    now = [uses.get(name, 0.0) for name in names]
    more = (c for c in product(*steps) if all(a >= b for a, b in zip(c, now, strict=True)) and list(c) != now)
    assert all(left_on + sum(c) > limit for c in more), bar
    if spare:
        assert float(spare[1]) == pytest.approx(limit - total, rel=0.01)
    return frozenset(uses.items()), 0.0 if spare else limit - total


def hot_water(page: Page, truth: Truth) -> None:
    heater = truth.fitted.get("water_heater")
    if not heater:
        assert "Hot water" not in page.text
        return
    litres, gas_w = truth.figure("water_heater", "water", "l"), truth.figure("water_heater", "gas", "W")
    steps = sorted(amount(w, "W") for w in heater.get("mains", ()))
    joules = litres * water_mj_per_l() * 1e6
    times = {"gas": gas_w * GAS_SHARE} | {f"230 V at {w:.0f} W": w * MAINS_SHARE for w in steps}
    times[f"gas and 230 V at {steps[-1]:.0f} W"] = gas_w * GAS_SHARE + steps[-1] * MAINS_SHARE
    for energy, useful_w in reversed(times.items()):
        minutes = joules / useful_w / 60
        if energy.startswith("gas and"):  # the others are worked out alike
            page.worked(f"Warm-up on {energy}", "min", minutes)
        page.about(f"{energy[:1].upper()}{energy[1:]} ~", minutes, "min")
    page.read("# litres from 15 to 60 °C take about", litres)
    page.read("Tap water at 15 °C, heated to 60 °C. # % of the gas heat", 100 * GAS_SHARE)
    page.read("# % of the electric heat", 100 * MAINS_SHARE)
    page.read("Gas and # V: only where the heater runs on both at once", 230)


def lead(page: Page, truth: Truth) -> None:
    metres, section = amount(truth.data["lead_length"], "m"), amount(truth.data["lead_section"], "mm²")
    ohm, amps = 2 * metres / 1000 * OHM_PER_KM[section], truth.figure("hook_up", "inlet", "A")
    page.worked("Voltage lost in the lead", "V", ohm * amps)
    page.worked("Heat made in the lead", "W", ohm * amps**2)
    page.read("At # A the lead gives off # W of heat", amps, ohm * amps**2)
    volts = ohm * amps
    page.read("# m of # mm² at # A loses # V (# %)", metres, section, amps, volts, volts / 2.3)


def water(page: Page, truth: Truth) -> None:
    each = truth.data["persons"] * amount(truth.data["water_per_person_day"], "l")
    fresh, waste = truth.figure("fresh_water", "tank", "l"), truth.figure("waste_water", "tank", "l")
    for name, litres, fills in (("Fresh", fresh, False), ("Waste", waste, True)):
        if not litres:
            assert f"{name}, " not in page.text
            continue
        page.worked(f"Days on the {name.lower()} tank", "days", litres / each)
        picture = re.search(rf"{name}, {NUMBER} l(?: full)?((?: day \d+)*)", page.text)
        days = [int(day) for day in re.findall(r"day (\d+)", picture[2])]
        assert float(picture[1]) == litres and max(days) <= litres / each < max(days) + (2 if fills else 1.5)
        page.text = page.text.replace(picture[0], "…", 1)
    if fresh:
        people = truth.data["persons"]
        page.about(f"{fresh:g} l of fresh water lasts {people} people about ~", fresh / each, "days")
        page.read("# l for each person a day", amount(truth.data["water_per_person_day"], "l"))
    if fresh and waste:
        page.worked("Waste tank against fresh tank", "%", 100 * waste / fresh)
        assert waste < fresh  # in every sample
        page.read("The waste tank (# l) is full before the fresh tank (# l) is empty", waste, fresh)


def gas(page: Page, truth: Truth) -> None:
    if not truth.gas:
        assert "propane" not in page.text and "butane" not in page.text
        return
    heat = sum(kg * kwh_per_kg(fuel) for fuel, kg in truth.gas)
    burning = truth.burning
    page.worked("Heat in the gas on board", "kWh", heat)
    page.worked("Gas for the hob alone", "h", heat / burning["hob"][0])
    days = heat / sum(kw * hours for kw, hours in burning.values())
    page.worked("Days on the gas on board", "days", days)
    page.about("The gas on board lasts about ~", days, "days")
    fuel, total = truth.gas[0][0], sum(kg for _, kg in truth.gas)
    page.read(f"# kg of {fuel} holds about # kWh of heat", total, heat)
    page.read(f"# kg {fuel}", truth.gas[0][1], times=len(truth.gas))
    for name, (kw, hours) in reversed(burning.items()):
        page.read(f"{name[:1].upper()}{name[1:]} # h # kWh", hours, kw * hours, rounded=0.051)
        page.about(f"{name} ~", heat / kw, "h")
    boiling = re.search(rf"Boiling point of {fuel} at 1 atm: {NUMBER} °C", page.text)
    assert float(boiling[1].replace("−", "-")) == pytest.approx(boiling_c(fuel), abs=0.1)  # K
    page.text = page.text.replace(boiling[0], "…")
    page.read("−40 °C −20 °C 0 °C 20 °C")
    page.read("Pure fuel at 1 atm")
    if fuel == "propane":
        page.read("gives gas down to about # °C", boiling_c(fuel))
    else:
        page.read("gives no gas below about 0 °C")
        assert abs(boiling_c(fuel)) < 1


def battery(page: Page, truth: Truth) -> None:
    block, loads = truth.fitted["leisure_battery"], truth.daily
    whole = block["count"] * truth.figure("leisure_battery", "capacity", "Ah")
    usable, daily = whole * USABLE[block["type"]], sum(ah for _, ah in loads.values())
    page.worked("Usable charge", "Ah", usable)
    page.worked("Charge used in a day", "Ah", daily)
    page.worked("Days on the battery", "days", usable / daily)
    bands = re.search(
        rf"may be used\.((?: day \d+)*)( part of day \d+)?(?: (about|nearly) {NUMBER} (hours?|days))?",
        page.text,
    )
    shown = [int(day) for day in re.findall(r"day (\d+)", bands[1])]
    assert shown == [*range(1, len(shown) + 1)] and len(shown) <= usable / daily
    assert not bands[2] or bands[2] == f" part of day {len(shown) + 1}" and len(shown) < usable / daily
    over = 0.3 if bands[3] == "nearly" else 0.0
    assert shown or float(bands[4]) <= usable / daily * (24 if "hour" in bands[5] else 1) + over
    page.text = page.text.replace(bands[0], "may be used", 1)
    page.about("A full battery lasts about ~", usable / daily, "days")
    page.read("Of # Ah, # Ah may be used", whole, usable)
    page.read("# % of the capacity", 100 * USABLE[block["type"]])
    page.read("A day on the battery: # Ah", daily)
    for name, hours_and_ah in loads.items():
        page.read(f"{name[:1].upper()}{name[1:]} # h # Ah", *hours_and_ah, rounded=0.051)
    if block["type"] != "lithium":  # rest voltages of a lead battery: common practice, no source
        page.read("12.7 V full 12.4 V 12.2 V half: charge now 12.0 V 11.9 V empty")


def payload(page: Page, truth: Truth) -> None:
    masses = {k: amount(v, "kg") if isinstance(v, str) else v for k, v in truth.data["masses"].items()}
    motor = truth.data["kind"] != "caravan"
    first = masses["mtplm"] - masses["miro"]
    riders = (masses["seats"] - 1) if motor else 0
    fresh, gas_kg = truth.figure("fresh_water", "tank", "l"), sum(kg for _, kg in truth.gas)
    rungs = {
        "Options fitted": masses["options"],
        f"Passengers ({riders} · 75 kg)": riders * 75,
        f"Fresh water ({fresh:g} l)": fresh,
        "Gas": gas_kg,
        "Luggage": masses["luggage"],
    }
    left = first - sum(rungs.values())
    metres = amount(truth.data["sizes"]["length"], "m")
    metres -= 0 if motor else DRAWBAR_M  # over all in the files
    least = 10 * (masses["seats"] + metres) if motor else 10 * masses["berths"] + 10 * metres + 30
    page.worked("Left to load", "kg", left)
    page.worked("Least payload by rule", "kg", least)
    page.read("MTPLM − MIRO: # − # kg # kg", masses["mtplm"], masses["miro"], first)
    for name, kilograms in rungs.items():
        if kilograms:
            page.read(f"{name} −# kg", kilograms)
    page.read("Left for you # kg", left)
    page.read("# kg is left for everything else", left)
    before = first - masses["options"] - riders * 75
    later = ["water"] * ("fresh_water" in truth.fitted) + ["gas"] * ("gas" in truth.fitted) + ["luggage"]
    words = f"{', '.join(later[:-1])} and {later[-1]}"
    page.read(f"at least # kg before {words}; here it is # kg", math.ceil(least), before)
    assert math.ceil(least) == pytest.approx(least, rel=0.01)
    if motor:
        page.read("MIRO holds the driver (75 kg)")
