"""Distances and ranges of the plausibility rules, as data in one place.

Where no source stands beside a value it is common practice, no source.
"""

from __future__ import annotations

from typing import Final

# Distances, mm
VENT_REACH_MM: Final = 1000.0  # a gas drop vent lies this near to what may leak
COWL_CLEAR_MM: Final = 500.0  # a cowl keeps this far from opening windows and fillers
LOCKER_SPARK_MM: Final = 300.0  # electrics beside a gas cylinder
EXTINGUISHER_REACH_MM: Final = 2000.0  # a fire extinguisher from a door to the outside
OVER_FLAMES_MM: Final = 300.0  # a fire blanket from the middle of a cooker, seen from above
FRIDGE_VENT_REACH_MM: Final = 1500.0  # a fridge vent from its fridge
OPENING_REACH_MM: Final = 400.0  # a point that stands for a window or roof-light, from that opening
STEP_REACH_MM: Final = 1000.0  # an entry step from a door
SAME_PLACE_MM: Final = 50.0
DRAIN_OVER_TANK_MM: Final = 250.0
BODY_SLACK_MM: Final = 620.0  # steps, awnings and racks stand out of the body this far
WALL_SLACK_MM: Final = 50.0
TALL_SLACK_MM: Final = 350.0  # aerials and air conditioners above the roof

# Differences between the sizes stated and those of the layout, mm
LENGTH_DIFFERENCE_MM: Final = 150.0
WIDTH_DIFFERENCE_MM: Final = 250.0  # with or without mirrors and awning
HEIGHT_DIFFERENCE_MM: Final = 300.0  # with or without aerial and roof-lights

# Pitch supplies: IEC 60309 inlets of 16 A, posts limited to 6, 10 or 16 A
INLETS_A: Final = (6.0, 10.0, 16.0)
# Leads: 2.5 mm² and 25 m ± 2 m for 16 A (BS 7671 section 721, from memory)
LEAD_SECTION_MM2: Final = {16.0: 2.5, 10.0: 1.5, 6.0: 1.0}
LEAD_LENGTH_MM: Final = 27_000.0

# Figures: dotted path → least, greatest, unit, factor from the unit that the program keeps.
# A path that ends in "[]" stands for each item of a list.
RANGES: Final = {
    "equipment.gas.cylinders[].size": (0.4, 35.0, "kg", 1.0),
    "equipment.gas.tank": (5.0, 150.0, "kg", 1.0),
    "equipment.hob.gas": (0.5, 12.0, "kW", 0.001),
    "equipment.hob.mains": (0.2, 6.0, "kW", 0.001),
    "equipment.grill.gas": (0.3, 5.0, "kW", 0.001),
    "equipment.grill.mains": (0.2, 4.0, "kW", 0.001),
    "equipment.oven.gas": (0.3, 6.0, "kW", 0.001),
    "equipment.oven.mains": (0.2, 4.0, "kW", 0.001),
    "equipment.microwave.mains": (300.0, 2500.0, "W", 1.0),
    "equipment.water_heater.water": (2.0, 40.0, "l", 1.0),
    "equipment.water_heater.gas": (0.5, 12.0, "kW", 0.001),
    "equipment.water_heater.diesel": (0.5, 12.0, "kW", 0.001),
    "equipment.water_heater.mains[]": (100.0, 3700.0, "W", 1.0),
    "equipment.heating.gas": (0.8, 12.0, "kW", 0.001),
    "equipment.heating.diesel": (0.8, 12.0, "kW", 0.001),
    "equipment.heating.mains[]": (100.0, 3700.0, "W", 1.0),
    "equipment.fridge.capacity": (10.0, 400.0, "l", 1.0),
    "equipment.fridge.gas": (5.0, 60.0, "g/h", 1.0),
    "equipment.fridge.mains": (30.0, 500.0, "W", 1.0),
    "equipment.fridge.dc": (20.0, 350.0, "W", 1.0),
    "equipment.fresh_water.tank": (5.0, 500.0, "l", 1.0),
    "equipment.waste_water.tank": (5.0, 500.0, "l", 1.0),
    "equipment.toilet.cassette": (5.0, 40.0, "l", 1.0),
    "equipment.hook_up.charger": (20.0, 2500.0, "W", 1.0),
    "equipment.leisure_battery.capacity": (10.0, 800.0, "Ah", 1.0),
    "equipment.solar.power": (5.0, 2500.0, "W", 1.0),
    "equipment.inverter.power": (50.0, 6000.0, "W", 1.0),
    "equipment.air_conditioner.mains": (200.0, 3500.0, "W", 1.0),
    "sizes.length": (2.5, 15.0, "m", 0.001),
    "sizes.width": (1.4, 2.65, "m", 0.001),
    "sizes.height": (1.4, 4.0, "m", 0.001),
    "masses.mtplm": (300.0, 18000.0, "kg", 1.0),
    "masses.miro": (250.0, 16000.0, "kg", 1.0),
    "masses.options": (0.0, 1500.0, "kg", 1.0),
    "masses.luggage": (0.0, 2000.0, "kg", 1.0),
    "water_per_person_day": (2.0, 150.0, "l", 1.0),
    "lead_length": (2.0, 100.0, "m", 0.001),
    "lead_section": (0.75, 6.0, "mm²", 1.0),
}
# Every running time of a day, h
DAY_H: Final = 24.0
