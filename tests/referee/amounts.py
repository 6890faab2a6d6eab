"""Whole numbers: the units of the model and how amounts are rounded.

Volumes are millilitres, clock times of lines and overtime are ticks (ten thousandths of a minute), amounts in the
objective are parts of a cent (with `aim: output` of a hundredth of a millilitre): just so many that every price of a case for a
millilitre or a tick is a whole number of them. With more, CP-SAT has been seen to call optimal what is not.
"""

from fractions import Fraction
from math import lcm

HECTOLITRE = 100_000
WHOLE = 1_000_000
TICKS = 10_000


def taken_off(share_ppm, volume):
    """A volume less a share of it, rounded down to the millilitre."""
    return volume * (WHOLE - share_ppm) // WHOLE


def share_of(share_ppm, amount):
    """A share of an amount, rounded down."""
    return amount * share_ppm // WHOLE


def nearest(numerator, denominator):
    """A quotient rounded to the nearest whole number, halves up."""
    return (2 * numerator + denominator) // (2 * denominator)


def parts_of_a_cent(facts):
    """So many parts that the prices of a case for a millilitre or a tick are whole."""
    rates = facts.rates
    a_hectolitre = [rates["gas"], rates["waiting"], rates["short_run"]]
    for beer, data in enumerate(facts.beers):
        a_hectolitre += [facts.gas(beer), facts.ready_value(beer)]
        for one in data["packaged"]:
            a_hectolitre += [one["contribution"], share_of(rates["surplus_ppm"], one["contribution"])]
            a_hectolitre.append(share_of(rates["missed_firm_ppm"], one["contribution"]))
    for order in facts.orders:
        a_hectolitre += [facts.order_worth(order), order["late"]["cost"] if order["late"] else 0]
    a_hectolitre += [keep["cost"] for keep in facts.keep]
    if facts.cold_store and not facts.cold_store["by_pallets"]:
        a_hectolitre.append(facts.cold_store["cost"])
    an_hour = [rates["labour"] * line["people"] for line in facts.lines]
    for crew in facts.crews:
        if crew["overtime"]:
            an_hour += [crew["overtime"]["cost"] * people for people in set(crew["people"])]
    prices = [Fraction(price, HECTOLITRE) for price in a_hectolitre]
    prices += [Fraction(price, 60 * TICKS) for price in an_hour]
    prices += [Fraction(material["price_per_1000"], 10_000_000) for material in facts.materials]
    if facts.is_orders and any(beer["sales"] is not None for beer in facts.beers):
        prices.append(Fraction(1, 100))
    return lcm(*(price.denominator for price in prices))
