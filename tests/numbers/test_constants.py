"""Constants of nature against reference libraries and standards, the trade's against rules of thumb."""

from __future__ import annotations

import iapws
import pytest
from chemicals.combustion import combustion_data
from chemicals.identifiers import MW, CAS_from_any
from chemicals.reaction import Hfg
from CoolProp.CoolProp import PropsSI

from guidegen.numbers import constants

FLUIDS = {"propane": ("Propane", {"C": 3, "H": 8}), "butane": ("n-Butane", {"C": 4, "H": 10})}


def test_heat_capacity_of_water_is_that_of_the_iapws_formulation():
    cold, hot = constants.COLD_C + 273.15, constants.HOT_C + 273.15
    by_iapws = (iapws.IAPWS97(T=hot, P=0.101325).h - iapws.IAPWS97(T=cold, P=0.101325).h) / (hot - cold)
    by_coolprop = (
        PropsSI("H", "T", hot, "P", 101325, "Water") - PropsSI("H", "T", cold, "P", 101325, "Water")
    ) / (1000 * (hot - cold))
    assert pytest.approx(by_iapws, rel=0.001) == constants.WATER_KJ_PER_KG_K
    assert pytest.approx(by_coolprop, rel=0.001) == constants.WATER_KJ_PER_KG_K


def test_a_litre_of_cold_water_weighs_a_kilogram():
    density = PropsSI("D", "T", constants.COLD_C + 273.15, "P", 101325, "Water") / 1000
    assert pytest.approx(density, rel=0.002) == constants.WATER_KG_PER_L


@pytest.mark.parametrize("fuel", FLUIDS)
def test_lower_heating_value_follows_from_the_heat_of_formation(fuel):
    cas = CAS_from_any(fuel)
    reference = -combustion_data(formula=FLUIDS[fuel][1], Hf=Hfg(cas)).LHV / MW(cas) / 1000
    assert constants.HEATING_MJ_PER_KG[fuel] == pytest.approx(reference, rel=0.003)


@pytest.mark.parametrize("fuel", FLUIDS)
def test_boiling_point_is_that_of_the_equation_of_state(fuel):
    reference = PropsSI("T", "P", 101325, "Q", 0, FLUIDS[fuel][0]) - 273.15
    assert constants.BOILING_C[fuel] == pytest.approx(reference, abs=0.1)


@pytest.mark.parametrize(
    ("section_mm2", "ohm_per_km"),
    [(0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4.0, 4.95), (6.0, 3.30)],
)
def test_conductors_are_those_of_iec_60228_class_5(section_mm2, ohm_per_km):
    """IEC 60228:2004, table 3, plain copper, from memory."""
    assert constants.CLASS_5_OHM_PER_KM[section_mm2] == ohm_per_km


@pytest.mark.parametrize("section_mm2", constants.CLASS_5_OHM_PER_KM)
def test_a_conductor_has_at_least_the_resistance_of_solid_copper(section_mm2):
    """Annealed copper has 17.241 Ω·mm²/km (IEC 60028); strands and lay add up to a fifth."""
    excess = constants.CLASS_5_OHM_PER_KM[section_mm2] * section_mm2 / 17.241
    assert 1.0 <= excess <= 1.2


def test_rest_voltage_follows_the_acid():
    """Rule of battery handbooks, from memory: cell voltage = density of the acid + 0.84 V, six cells."""
    acid = {100: 1.265, 75: 1.225, 50: 1.190, 25: 1.155, 0: 1.120}
    for volts, percent in constants.REST_VOLTS:
        assert volts == pytest.approx(6 * (acid[percent] + 0.84), abs=0.15)


def test_rest_voltage_falls_with_the_charge():
    assert list(constants.REST_VOLTS) == sorted(constants.REST_VOLTS, reverse=True)
    assert [percent for _, percent in constants.REST_VOLTS] == [100, 75, 50, 25, 0]
