"""R16: work that is pinned. Equal pins ask for as many pieces of work; one piece may keep several pins that differ."""

import json

from amounts import HECTOLITRE

A_LITRE = 1000


def pinned_slots(facts, pin):
    """Slots that have the day and the shift of a pin."""
    return {
        s
        for s, slot in enumerate(facts.slots)
        if pin["day"] in (None, slot["day"]) and pin["shift"] in (None, slot["shift"])
    }


def keep_pins(model, facts, batches, leavings, lots, cleans, sources, packaged):
    """Asks for what is pinned."""
    equal = {}
    for pin in facts.pins:
        equal.setdefault(json.dumps(pin, sort_keys=True), []).append(pin)
    for same in equal.values():
        pin, count = same[0], len(same)
        slots = pinned_slots(facts, pin)
        if pin["work"] == "brew":
            model.add(sum(brews(model, facts, batches, pin, slots)) >= count)
        elif pin["work"] == "transfer":
            model.add(sum(transfers(model, leavings, pin, slots)) >= count)
        elif pin["work"] == "clean":
            model.add(sum(literal for vessel, slot, literal in cleans if vessel == pin["vessel"] and slot in slots) >= count)
        elif pin["work"] == "dump":
            dumps = [l for leaving in leavings if leaving.batch.vessel == pin["vessel"] for s, l in leaving.dumped.items() if s in slots]
            dumps += [l for lot in lots if lot.tank == pin["vessel"] for s, l in lot.dumped.items() if s in slots]
            model.add(sum(dumps) >= 1)
        else:
            package(model, facts, sources, packaged, pin, slots)


def brews(model, facts, batches, pin, slots):
    """A literal for each batch that may keep a pin: its first turn is in such a slot, it is such a batch."""
    for batch in batches:
        if batch.is_opening or pin["vessel"] not in (None, batch.vessel):
            continue
        good = [
            literal
            for kind, literal in zip(batch.kinds, batch.is_kind)
            if kind.beer == pin["beer"]
            and (pin["turns"] is None or (kind.turns == pin["turns"] and kind.wort == kind.turns * whole_turn(facts, kind.beer)))
            and (pin["part"] is None or (kind.wort == pin["part"] and kind.turns == 1))
        ]
        keeps = model.new_bool_var(f"batch {batch.place} in {batch.vessel} keeps a pin")
        model.add(keeps <= sum(good))
        model.add(keeps <= sum(literal for slot, literal in batch.first.items() if slot in slots))
        yield keeps


def whole_turn(facts, beer):
    turn = facts.beers[beer]["turn"]
    return facts.brewhouse["turn"] if turn is None else turn


def transfers(model, leavings, pin, slots):
    """A literal for each transfer that may keep a pin."""
    for leaving in leavings:
        if pin["from"] not in (None, leaving.batch.vessel):
            continue
        for lot, fills_it in leaving.fills:
            if pin["to"] not in (None, lot.tank) or pin["beer"] not in lot.is_beer:
                continue
            keeps = model.new_bool_var(f"{leaving.name} into {lot.name} keeps a pin")
            model.add(keeps <= fills_it)
            model.add(keeps <= lot.is_beer[pin["beer"]])
            model.add(keeps <= sum(literal for slot, literal in lot.fill.items() if slot in slots))
            if pin["volume"] is not None:
                good = [
                    one.is_chosen
                    for one in leaving.divided
                    if lot.tank in one.tanks and abs(one.leaves[one.tanks.index(lot.tank)] - pin["volume"]) <= A_LITRE
                ]
                model.add(keeps <= sum(good))
            yield keeps


def package(model, facts, sources, packaged, pin, slots):
    """The packaged volume is the volume named, to a litre; without one, 1 hL or more; from a vessel, what leaves it for lines."""
    if pin["from"] is not None:
        drawn = [
            draw
            for source in sources
            if pin["from"] == (source.lot.tank if source.lot else source.leaving.batch.vessel)
            for (beer, _, slot), draw in source.draws.items()
            if beer == pin["beer"] and slot in slots
        ]
        model.add(sum(drawn) >= HECTOLITRE)
        return
    some = [
        volume
        for (beer, format, slot), volume in packaged.volumes.items()
        if beer == pin["beer"]
        and slot in slots
        and pin["format"] in (None, format)
        and pin["line"] in (None, facts.formats[format]["line"])
    ]
    if pin["volume"] is None:
        model.add(sum(some) >= HECTOLITRE)
    else:
        model.add(sum(some) >= pin["volume"] - A_LITRE)
        model.add(sum(some) <= pin["volume"] + A_LITRE)
