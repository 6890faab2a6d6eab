"""Bright tanks: lots, one optional interval for each tank and place in its sequence.

R02 (levels of bright tanks), R05 (waiting in a bright tank), R06 (clean, fill and carbonate, package later, fill again).
"""

from dataclasses import dataclass, field
from fractions import Fraction

from amounts import HECTOLITRE, nearest
from batches import as_variable, one_of
from full_cleans import Fills, full_literals
from pressure import holds_carbonation


@dataclass
class Lot:
    """Beer in a bright tank."""

    tank: int
    place: int
    present: object
    volume: object
    is_beer: dict
    is_opening: bool = False
    filled_on: object = None
    fill: dict = field(default_factory=dict)
    full: dict = field(default_factory=dict)
    last_pack: dict = field(default_factory=dict)
    dumped: dict = field(default_factory=dict)
    stays: object = 0
    name: str = ""


def filling_takes(facts, tank, is_full=False):
    """R06: clean (in full or not), purge and transfer of a bright tank, one after another."""
    of = facts.vessels[tank]
    clean = of["full_clean"]["job"] if is_full else of["clean"]
    return clean["takes"] + of["purge"]["takes"] + facts.transfer["job"]["takes"]


def may_be_packaged(facts, tank, beer, fill, slot, is_full=False):
    """R06: whether a lot that was filled in one slot may be packaged from in another."""
    carbonating = facts.carbonating_takes(beer) if facts.is_forced(beer) else 0
    done = facts.start(fill) + filling_takes(facts, tank, is_full) + carbonating
    return slot > fill and facts.start(slot) >= done


def may_be_filled_again(facts, tank, beer, slot, is_full=False):
    """R06: whether a tank may be filled in the slot of its last packaging."""
    of = facts.vessels[tank]
    slowest = max(-(-of["holds"] * 60 // facts.pace(line)) for line in facts.lines_of(beer))
    return of["refill_same_shift"] and slowest + filling_takes(facts, tank, is_full) <= facts.hours(slot)


def beers_of(facts, tank):
    """Beers that may be in a tank."""
    of = facts.vessels[tank]
    return [b for b, beer in enumerate(facts.beers) if beer["bright"] and holds_carbonation(facts, beer, of)]


def fill_slots(facts, tank):
    """Slots in which a tank can be cleaned and filled."""
    return [
        slot
        for slot in facts.cellar_slots
        if filling_takes(facts, tank) <= facts.hours(slot) and not facts.is_away("vessel", tank, facts.day(slot))
    ]


def most_lots(facts, tank, beers, slots):
    """How many lots a tank can have one after another, at most."""
    count, at = 0, -1
    while True:
        fill = next((slot for slot in slots if slot > at), None)
        if fill is None:
            return count
        count += 1
        packs = [
            slot
            for slot in facts.package_slots
            if any(may_be_packaged(facts, tank, beer, fill, slot) for beer in beers)
        ]
        if not packs:
            return count
        again = any(may_be_filled_again(facts, tank, beer, packs[0]) for beer in beers)
        at = packs[0] - 1 if again else packs[0]


def make_lots(model, facts, ledger):
    """All lots: what is there on day 0, and what may be filled."""
    lots = []
    for tank in facts.brights:
        before, fills = None, Fills(model, facts, tank)
        for there in [t for t in facts.in_tank if t["vessel"] == tank and t["is_bright"]]:
            before = opening_lot(facts, there)
            finish(model, facts, ledger, before)
            lots.append(before)
        beers, slots = beers_of(facts, tank), fill_slots(facts, tank)
        if not beers:
            continue
        for place in range(1, most_lots(facts, tank, beers, slots) + 1):
            lot = new_lot(model, facts, tank, place, beers, slots)
            finish(model, facts, ledger, lot)
            follow(model, facts, before, lot)
            fills.fill(lot.present, lot.is_beer, sum(lot.full.values()), lot.name)
            lots.append(lot)
            before = lot
    return lots


def opening_lot(facts, there):
    """R14: a lot that is there on day 0."""
    lot = Lot(there["vessel"], 0, 1, there["filled"], {there["beer"]: 1}, True, there["on"])
    lot.name = f"lot in {lot.tank}"
    return lot


def new_lot(model, facts, tank, place, beers, slots):
    """A lot that may be filled by a transfer; its volume and beer are those of the batch that it comes from."""
    name = f"lot {place} in {tank}"
    of = facts.vessels[tank]
    present = model.new_bool_var(name)
    is_beer = {beer: model.new_bool_var(f"{name} of {beer}") for beer in beers}
    model.add(sum(is_beer.values()) == present)
    volume = model.new_int_var(0, of["holds"], f"{name} volume")
    model.add(volume <= of["holds"] * present)
    model.add(volume >= of["least"] * present)
    lot = Lot(tank, place, present, volume, is_beer, name=name)
    lot.fill = one_of(model, slots, present, f"{name} fill")
    fits = lambda slot: filling_takes(facts, tank, True) <= facts.hours(slot)
    lot.full = full_literals(model, facts, tank, lot.fill, fits, name)
    lot.filled_on = sum(facts.day(slot) * literal for slot, literal in lot.fill.items())
    return lot


def finish(model, facts, ledger, lot):
    """R05: the last packaging, or none before the end; waiting until then; the hard end."""
    away = lambda slot: facts.is_away("vessel", lot.tank, facts.day(slot))
    lot.stays = model.new_bool_var(f"{lot.name} stays")
    lot.last_pack = {s: model.new_bool_var(f"{lot.name} last @{s}") for s in facts.package_slots if not away(s)}
    dumps = [s for s in facts.cellar_slots if lot.is_opening and facts.may_dump(lot.tank, s)]
    lot.dumped = {s: model.new_bool_var(f"{lot.name} dumped @{s}") for s in dumps if not away(s)}
    ends = list(lot.last_pack.values()) + list(lot.dumped.values())
    model.add(sum(ends) + lot.stays == lot.present)
    until = sum(facts.day(slot) * literal for slot, literal in lot.last_pack.items())
    until += sum(facts.day(slot) * literal for slot, literal in lot.dumped.items()) + facts.days * lot.stays
    if not lot.is_opening:
        for slot in lot.last_pack:
            over = sum(literal for s, literal in lot.last_pack.items() if s <= slot)
            model.add(over <= sum(fill for s, fill in lot.fill.items() if s < slot))
    stood = until - lot.filled_on
    hard = sum(facts.beers[beer]["bright_must_leave"] * literal for beer, literal in lot.is_beer.items())
    free = sum(facts.beers[beer]["bright_wait"] * literal for beer, literal in lot.is_beer.items())
    if lot.is_opening:
        charge_opening(facts, ledger, lot)
        return
    model.add(stood <= hard)
    charge_waiting(model, facts, ledger, lot, stood - free)


def charge_opening(facts, ledger, lot):
    """What is there on day 0: for each day of its last packaging the amount is a number, rounded to the cent."""
    rates = facts.rates
    (beer,) = lot.is_beer
    of = facts.beers[beer]
    ends = [(facts.day(s), l) for steps in (lot.last_pack, lot.dumped) for s, l in steps.items()]
    for day, literal in ends + [(facts.days, lot.stays)]:
        stood = day - lot.filled_on
        waited, over = max(0, stood - of["bright_wait"]), max(0, stood - of["bright_must_leave"])
        ledger.pay(nearest(rates["waiting"] * waited * lot.volume, HECTOLITRE), literal)
        ledger.pay_last_resort(nearest(rates["over_limit"] * over * lot.volume, HECTOLITRE), literal)
    for literal in lot.dumped.values():
        ledger.pay_last_resort(nearest(rates["dump"] * lot.volume, HECTOLITRE), literal)


def charge_waiting(model, facts, ledger, lot, days):
    """R05: so much per hectolitre of the lot and day beyond what is free: a literal for each such day."""
    cents = facts.rates["waiting"]
    if cents == 0:
        return
    most = max(facts.beers[beer]["bright_must_leave"] - facts.beers[beer]["bright_wait"] for beer in lot.is_beer)
    beyond = [model.new_bool_var(f"{lot.name} day {number}") for number in range(1, min(most, facts.days) + 1)]
    model.add(sum(beyond) >= days)
    for literal in beyond:
        stood = model.new_int_var(0, facts.vessels[lot.tank]["holds"], f"{lot.name} waits")
        model.add(stood >= lot.volume).only_enforce_if(literal)
        ledger.pay(Fraction(cents, HECTOLITRE), stood)


def follow(model, facts, before, lot):
    """R06: a tank is filled after the lot before it has left, in a later slot or, where that may be, in the same."""
    if before is None:
        return
    if before.place:
        model.add_implication(lot.present, before.present)
    model.add(before.stays + lot.present <= 1)
    gone = lambda slot: sum(l for s, l in before.last_pack.items() if s <= slot) + sum(l for s, l in before.dumped.items() if s < slot)
    for slot in lot.fill:
        model.add(sum(fill for s, fill in lot.fill.items() if s <= slot) <= gone(slot))
    for slot, fill in lot.fill.items():
        still = [literal for s, literal in before.last_pack.items() if s > slot]
        still += [literal for s, literal in before.dumped.items() if s >= slot]
        model.add(fill + sum(still) <= 1)
        if slot in before.last_pack:
            never = [is_beer for beer, is_beer in before.is_beer.items() if not may_be_filled_again(facts, lot.tank, beer, slot)]
            model.add(fill + before.last_pack[slot] + sum(never) <= 2)
            if slot in lot.full:
                is_fit = lambda beer: may_be_filled_again(facts, lot.tank, beer, slot, True)
                never = [is_beer for beer, is_beer in before.is_beer.items() if not is_fit(beer)]
                model.add(lot.full[slot] + before.last_pack[slot] + sum(never) <= 2)


def keep_apart(model, facts, lots):
    """One thing at a time in a bright tank, each lot an optional interval in half slots: filled in the second half, packaged in the first."""
    by_tank, horizon = {}, 2 * (len(facts.slots) + 1)
    for lot in lots:
        ends = list(lot.last_pack.items()) + list(lot.dumped.items())
        start = as_variable(model, sum((2 * slot + 1) * literal for slot, literal in lot.fill.items()), horizon, f"{lot.name} start")
        until = sum((2 * slot + 1) * literal for slot, literal in ends) + horizon * lot.stays
        end = as_variable(model, until, horizon, f"{lot.name} end")
        size = model.new_int_var(0, horizon, f"{lot.name} size")
        if lot.is_opening:
            interval = model.new_interval_var(start, size, end, lot.name)
        else:
            interval = model.new_optional_interval_var(start, size, end, lot.present, lot.name)
        by_tank.setdefault(lot.tank, []).append(interval)
    for intervals in by_tank.values():
        model.add_no_overlap(intervals)
