"""R11: the pressure that a beer needs and that a vessel holds, in pascals.

Equilibrium: volumes = absolute psi x (0.01821 + 0.090115 x exp(-(degF - 32) / 43.11)) - 0.003342, A. J. deLange's fit to the
ASBC table ("CO2 Volumes in Beer", 2011); atmosphere of the international standard atmosphere; a metre of beer weighs 9.79 kPa.
All three stand in DEVELOPERS.md.
"""

from math import exp

from amounts import WHOLE

PASCALS_PER_PSI = 6_894.757_293_168


def equilibrium(volumes_milli, temperature_milli, altitude_metres):
    """Gauge pressure at which beer keeps so many thousandths of a volume at so many thousandths of a degree Celsius."""
    fahrenheit = temperature_milli / 1000 * 9 / 5 + 32
    psi = (volumes_milli / 1000 + 0.003342) / (0.01821 + 0.090115 * exp(-(fahrenheit - 32) / 43.11))
    atmosphere = 101_325 * (1 - 2.25577e-5 * altitude_metres) ** 5.25588
    return round(psi * PASCALS_PER_PSI - atmosphere)


def limit(facts, vessel):
    """What is planned at most in a vessel that is being emptied."""
    kept = WHOLE - facts.pressure["below_relief_ppm"]
    return min(vessel["relief"], vessel["rated"]) * kept // WHOLE


def limit_when_full(facts, vessel):
    """The same of a full vessel: its rating has to hold at the bottom."""
    kept = WHOLE - facts.pressure["below_relief_ppm"]
    at_bottom = vessel["rated"] * kept // WHOLE - -(-vessel["beer_height"] * 979 // 100)
    return min(limit(facts, vessel), at_bottom)


def needed(facts, beer):
    """What carbonating a beer, and packaging it straight from a fermenter, needs."""
    if beer["carbonating"] != "forced":
        return 0
    balance = equilibrium(beer["carbonation"], beer["carbonated_at"], facts.altitude_metres)
    nitrogen = beer["nitrogen"]["pressure"] if beer["nitrogen"] else 0
    return max(0, balance + facts.pressure["breakout"], nitrogen)


def holds_carbonation(facts, beer, vessel):
    """Whether a beer may be carbonated in a vessel."""
    return beer["carbonating"] != "forced" or needed(facts, beer) <= limit_when_full(facts, vessel)


def holds_fermentation(facts, beer, vessel):
    """Whether a beer that ferments under pressure may do so in a vessel."""
    spund = beer["spund"]
    if not spund:
        return True
    balance = equilibrium(spund["carbonation"], spund["at"], facts.altitude_metres)
    return max(0, balance) <= limit_when_full(facts, vessel)


def feeds(facts, beer, vessel, line):
    """Whether a vessel can push a beer to a line, or a pump may."""
    return (line["pump"] and beer["pump"]) or line["feed"] <= limit(facts, vessel)
