"""R25: cans, labels and the like: what is used beyond stock and deliveries is ordered in time and paid."""

from fractions import Fraction
from math import lcm

# Pieces are counted in ten thousandths.
PARTS = 10_000


def order_materials(model, facts, ledger, packaged):
    """What is ordered of each material."""
    for number, material in enumerate(facts.materials):
        pieces = dict(map(tuple, material["uses"]))
        runs = [
            (facts.day(slot), volume, format)
            for (beer, format, slot), volume in packaged.volumes.items()
            if format in pieces and (material["beers"] is None or beer in material["beers"])
        ]
        if not runs:
            continue
        whole = lcm(*(facts.formats[format]["contents"] for format in pieces))
        most = 10**6 * PARTS
        bought = model.new_int_var(0, most, f"bought of {number}")
        for day in range(facts.days):
            used = sum(
                volume * (pieces[format] * (whole // facts.formats[format]["contents"]))
                for on, volume, format in runs
                if on <= day
            )
            there = material["in_stock"] + sum(count for on, count in material["deliveries"] if on <= day)
            model.add(PARTS * used <= (bought + PARTS * there) * whole)
            if material["lead"] is None or day < material["lead"]:
                model.add(used <= there * whole)
        orders(model, ledger, number, material, bought, most)


def orders(model, ledger, number, material, bought, most):
    """At least the least order, in whole packs where there are packs."""
    price = Fraction(material["price_per_1000"], 1000 * PARTS)
    orders_any = model.new_bool_var(f"orders {number}")
    ordered = model.new_int_var(0, most, f"ordered of {number}")
    model.add(ordered >= bought)
    model.add(bought <= most * orders_any)
    model.add(ordered >= PARTS * material["least_order"] * orders_any)
    if material["pack"]:
        packs = model.new_int_var(0, most // (PARTS * material["pack"]), f"packs of {number}")
        model.add(ordered == PARTS * material["pack"] * packs)
    ledger.pay(price, ordered)
