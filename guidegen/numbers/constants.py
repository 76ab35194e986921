"""Constants of nature and of the trade that the numbers rest on, each with its source in one place.

[CP] is common practice with no single source.
"""

from __future__ import annotations

from typing import Final

# Mains: IEC 60038 nominal voltage; pitch posts are commonly fused at 6, 10 or 16 A [CP].
MAINS_V: Final = 230.0
SUPPLIES_A: Final = (6, 10, 16)
# 12 V systems are reckoned at their nominal voltage.
BATTERY_V: Final = 12.0

# Water between 15 and 60 °C at 1 atm (IAPWS-95); 1 l is taken as 1 kg.
WATER_KJ_PER_KG_K: Final = 4.18
WATER_KG_PER_L: Final = 1.0
COLD_C: Final = 15.0
HOT_C: Final = 60.0
# What of the heat reaches the water; the rest is lost by flue and jacket [CP].
GAS_TO_WATER: Final = 0.80
DIESEL_TO_WATER: Final = 0.80
MAINS_TO_WATER: Final = 0.95

# Lower heating values, MJ/kg (ISO 6976: propane 46.3, n-butane 45.7), and boiling points at 1 atm, °C
# (multi-parameter equations of state of propane and n-butane).
HEATING_MJ_PER_KG: Final = {"propane": 46.3, "butane": 45.7}
BOILING_C: Final = {"propane": -42.1, "butane": -0.5}

# Share of a battery's capacity that may be used without wearing it out [CP].
USABLE_SHARE: Final = {"lead": 0.5, "agm": 0.5, "lithium": 0.8}
# Voltage of a 12 V lead battery at rest for some hours, and its charge in per cent [CP].
REST_VOLTS: Final = ((12.7, 100), (12.4, 75), (12.2, 50), (12.0, 25), (11.9, 0))

# A person's mass in the masses rules of EU type-approval (Regulation (EU) 2021/535), kg.
PERSON_KG: Final = 75.0

# Greatest resistance of a plain copper class 5 conductor at 20 °C, Ω/km by mm² (IEC 60228, table 3).
CLASS_5_OHM_PER_KM: Final = {
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4.0: 4.95,
    6.0: 3.30,
}
