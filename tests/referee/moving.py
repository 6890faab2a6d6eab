"""Transfers from fermenters into bright tanks, in one or several stages.

R06 (filling), R12 (transfers add up to the batch), R21 (from where to where), R22 (at most four). The program splits a batch in
proportion to what the tanks hold, over the fewest tanks that take it: so does the referee.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement

from amounts import HECTOLITRE
from full_cleans import charge_clean
from lots import beers_of

MOST_TRANSFERS = 4


@dataclass
class Stages:
    """A way to divide a batch: bright tanks, one perhaps several times, with what arrives in each."""

    kind: int
    tanks: tuple
    leaves: tuple
    arrives: tuple
    is_chosen: object = None


def ways_to_divide(facts, batch, number):
    """All ways to divide a batch of a kind over bright tanks."""
    kind = batch.kinds[number]
    beer = facts.beers[kind.beer]
    if not beer["bright"]:
        return []
    whole = facts.arrives(kind.beer, kind.volume)
    holds_whole = any(facts.vessels[tank]["least"] <= whole <= facts.vessels[tank]["holds"] for tank in facts.brights)
    most = 1 if beer["split"] == "never" or (beer["split"] == "needed" and holds_whole) else MOST_TRANSFERS
    tanks = [t for t in facts.brights if facts.reaches_vessel(batch.vessel, t) and kind.beer in beers_of(facts, t)]
    found = []
    for count in range(1, most + 1):
        if any(len(stages.tanks) > 1 for stages in found):
            break
        for some in combinations_with_replacement(tanks, count):
            leaves = in_proportion(facts, some, kind.volume)
            arrives = tuple(facts.arrives(kind.beer, volume) for volume in leaves)
            if all(facts.vessels[t]["least"] <= volume <= facts.vessels[t]["holds"] for t, volume in zip(some, arrives)):
                found.append(Stages(number, some, leaves, arrives))
    return found


def in_proportion(facts, tanks, volume):
    """A volume divided by what tanks hold; the last takes the rest of the rounding."""
    holds = [facts.vessels[tank]["holds"] for tank in tanks]
    parts = [volume * one // sum(holds) for one in holds]
    parts[-1] += volume - sum(parts)
    return tuple(parts)


def move(model, facts, ledger, leavings, lots):
    """Which batch fills which lot. Returns for each batch the ways to end the horizon with stages still to come."""
    new = [lot for lot in lots if not lot.is_opening]
    sources = {id(lot): [] for lot in new}
    pending = []
    for leaving in leavings:
        pending.append(move_one(model, facts, leaving, new, sources))
    for lot in new:
        model.add(sum(literal for literal in sources[id(lot)]) == lot.present)
        charge(model, facts, ledger, lot)
    at_once(model, facts, new)
    tighten(model, facts, leavings, new)
    return pending


def at_once(model, facts, lots):
    """R24: so many transfers at a time."""
    most = facts.transfer["at_once"]
    for slot in facts.cellar_slots if most is not None else []:
        takes = facts.transfer["job"]["takes"]
        model.add(sum(takes * lot.fill[slot] for lot in lots if slot in lot.fill) <= most * facts.hours(slot))


def tighten(model, facts, leavings, lots):
    """What follows from all this and helps the search: transfers and fills of a slot are the same."""
    for slot in facts.cellar_slots:
        fills = [lot.fill[slot] for lot in lots if slot in lot.fill]
        moves = [leaving.first_move[slot] for leaving in leavings if slot in leaving.first_move]
        if all(leaving.is_single for leaving in leavings):
            model.add(sum(fills) == sum(moves))
    arrives = sum(leaving.arrives for leaving in leavings)
    model.add(sum(lot.volume for lot in lots) <= arrives)


def move_one(model, facts, leaving, lots, sources):
    """The transfers of one batch. Returns literals of stages that are still to come, each with its volume."""
    batch, name = leaving.batch, leaving.name
    stages = [one for number in range(len(batch.kinds)) for one in ways_to_divide(facts, batch, number)]
    for position, one in enumerate(stages):
        one.is_chosen = model.new_bool_var(f"{name} divided {position}")
        model.add(one.is_chosen <= batch.is_kind[one.kind])
    model.add(sum(one.is_chosen for one in stages) == leaving.moved)
    later = stages_to_come(model, stages, leaving)
    tanks = sorted({tank for one in stages for tank in one.tanks})
    is_single = all(len(one.tanks) == 1 for one in stages)
    leaving.is_single, leaving.divided, leaving.fills = is_single, stages, []
    leaving.arrives = sum(sum(one.arrives) * one.is_chosen for one in stages)
    firsts, lasts = [], []
    for tank in tanks:
        fills = []
        for lot in (lot for lot in lots if lot.tank == tank):
            fills_it = model.new_bool_var(f"{name} into {lot.name}")
            fills.append(fills_it)
            leaving.fills.append((lot, fills_it))
            sources[id(lot)].append(fills_it)
            link(model, facts, leaving, lot, fills_it, stages)
            if is_single:
                firsts.append((lot, fills_it))
                lasts.append((lot, fills_it))
            else:
                for chosen in (firsts, lasts):
                    literal = model.new_bool_var(f"{name} begins or ends with {lot.name}")
                    model.add_implication(literal, fills_it)
                    chosen.append((lot, literal))
        still = sum(literal * tanks_left.count(tank) for _, tanks_left, literal in later)
        model.add(sum(fills) + still == sum(one.is_chosen * one.tanks.count(tank) for one in stages))
    for chosen, slots, count in ((firsts, leaving.first_move, leaving.moved), (lasts, leaving.last_move, leaving.all_moved)):
        if not is_single or chosen is firsts:
            model.add(sum(literal for _, literal in chosen) == count)
        for lot, literal in chosen:
            for slot, fill in lot.fill.items():
                if slot in slots:
                    model.add(slots[slot] >= fill).only_enforce_if(literal)
                else:
                    model.add(fill == 0).only_enforce_if(literal)
    if is_single:
        model.add(leaving.all_moved == leaving.moved)
    return [(stages[position], tanks_left, literal) for position, tanks_left, literal in later]


def stages_to_come(model, stages, leaving):
    """Literals of batches of which, at the end, some stages are done and others are still to come."""
    later = []
    for position, one in enumerate(stages):
        left = {tuple(sorted(some)) for some in parts_of(one.tanks)}
        literals = []
        for tanks_left in sorted(left):
            literal = model.new_bool_var(f"{leaving.name} {position} still {tanks_left}")
            literals.append(literal)
            later.append((position, tanks_left, literal))
        model.add(sum(literals) <= one.is_chosen)
    model.add(sum(literal for _, _, literal in later) + leaving.all_moved == leaving.moved)
    return later


def parts_of(tanks):
    """All parts of a list that are neither empty nor the whole."""
    for chosen in range(1, 2 ** len(tanks) - 1):
        yield [tank for position, tank in enumerate(tanks) if chosen >> position & 1]


def link(model, facts, leaving, lot, fills_it, stages):
    """What a batch brings to a lot: its beer, its volume, a slot from the first transfer to the last."""
    batch = leaving.batch
    for number, (kind, is_kind) in enumerate(zip(batch.kinds, batch.is_kind)):
        if kind.beer in lot.is_beer:
            model.add(lot.is_beer[kind.beer] >= fills_it + is_kind - 1)
        else:
            model.add(fills_it + is_kind <= 1)
    arrives = sum(one.arrives[one.tanks.index(lot.tank)] * one.is_chosen for one in stages if lot.tank in one.tanks)
    model.add(lot.volume == arrives).only_enforce_if(fills_it)
    fill = sum(slot * literal for slot, literal in lot.fill.items())
    first = sum(slot * literal for slot, literal in leaving.first_move.items())
    last = sum(slot * literal for slot, literal in leaving.last_move.items())
    model.add(fill >= first).only_enforce_if(fills_it)
    model.add(fill <= last).only_enforce_if([fills_it, leaving.all_moved])


def charge(model, facts, ledger, lot):
    """R06, R09: the work of filling a bright tank: clean, purge, transfer, carbonate."""
    of, rates = facts.vessels[lot.tank], facts.rates
    for slot, fill in lot.fill.items():
        charge_clean(facts, ledger, lot.tank, slot, fill, lot.full.get(slot, 0))
        ledger.work(slot, of["purge"], fill)
        ledger.work(slot, facts.transfer["job"], fill)
        if any(facts.carbonate["crew"]):
            ledger.work(slot, facts.carbonate, carbonates(model, facts, lot, fill, slot))
    ledger.pay(rates["transfer"] + of["purge_gas"], lot.present)
    for beer, is_beer in lot.is_beer.items():
        cents = facts.gas(beer) if facts.is_forced(beer) else 0
        if cents:
            price = Fraction(cents, HECTOLITRE)
            if len(lot.is_beer) == 1:
                ledger.pay(price, lot.volume)
            else:
                of_beer = model.new_int_var(0, of["holds"], f"{lot.name} gas {beer}")
                model.add(of_beer >= lot.volume - of["holds"] * (1 - is_beer))
                ledger.pay(price, of_beer)


def carbonates(model, facts, lot, fill, slot):
    """Whether a lot that is filled in a slot is carbonated there."""
    flat = [is_beer for beer, is_beer in lot.is_beer.items() if not facts.is_forced(beer)]
    if not flat:
        return fill
    literal = model.new_bool_var(f"{lot.name} carbonated @{slot}")
    model.add(literal >= fill - sum(flat))
    return literal
