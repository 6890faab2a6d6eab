"""What is worth something: with `aim: orders` surplus and beer in tank at the end, with `aim: output` what is packaged.

The formulas are those of `model/src/case/rates.rs` and of "Horizon end" and R13 in DEVELOPERS.md.
"""

from fractions import Fraction
from math import gcd

from amounts import HECTOLITRE, WHOLE, nearest, share_of, taken_off


def yields(facts, format, volume):
    """What a format makes of a volume that is drawn for it alone, the line's loss taken off."""
    of = facts.formats[format]
    filled = max(0, volume - facts.lines[of["line"]]["loss"])
    return taken_off(of["loss_ppm"], filled) * WHOLE // (WHOLE + of["overfill_ppm"])


def expected(facts, beer, volume):
    """Packaged volume to expect of beer in a fermenter: the worse of its routes and formats."""
    of = facts.beers[beer]
    routes = []
    if of["direct"]:
        routes.append(taken_off(of["loss_direct_ppm"], volume))
    if of["bright"]:
        routes.append(facts.arrives(beer, volume))
    reaches = min(routes, default=0)
    return min((yields(facts, one["format"], reaches) for one in of["packaged"]), default=0)


def value_surplus_and_tanks(model, facts, ledger, goods, leavings, pending, sources):
    """With `aim: orders`: surplus and beer in tank, both within what is expected to be sold."""
    tanks = {}
    for leaving, stages in zip(leavings, pending):
        batches_in_tank(model, facts, leaving, stages, tanks)
    for source in sources:
        left_in_source(model, facts, source, tanks)
    for beer, data in enumerate(facts.beers):
        counted = []
        cap = None if data["sales"] is None else data["sales"] * facts.rates["surplus_weeks"]
        for one in data["packaged"]:
            surplus = goods.surplus[beer, one["format"]]
            volume = surplus
            if cap is not None:
                volume = model.new_int_var(0, cap, f"surplus {beer} {one['format']}")
                model.add(volume <= surplus)
            else:
                model.add(surplus >= 0)
            counted.append(volume)
            ledger.earn(Fraction(share_of(facts.rates["surplus_ppm"], one["contribution"]), HECTOLITRE), volume)
        for there in tanks.get(beer, []):
            there(model, ledger, counted if cap is not None else None)
        if cap is not None:
            model.add(sum(counted) <= cap)


def add_tank(tanks, beer, is_there, volume, elapsed, stay, facts, name):
    """Beer whose expected packaged volume is a number, if it is there: what that is worth, as far as sales leave room."""
    price = facts.ready_value(beer)
    if volume <= 0 or price <= 0:
        return
    whole = nearest(price * volume, HECTOLITRE)
    worth = nearest(whole * min(max(elapsed, 0), stay), stay) if stay > 0 else whole

    def count(model, ledger, counted):
        if counted is None:
            ledger.earn(worth, is_there)
            return
        some = model.new_int_var(0, volume, name)
        model.add(some <= volume * is_there)
        value = model.new_int_var(0, facts.in_parts(worth), f"{name} worth")
        model.add(value * volume <= facts.in_parts(worth) * some)
        counted.append(some)
        ledger.pay_parts(-value)

    tanks.setdefault(beer, []).append(count)


def batches_in_tank(model, facts, leaving, pending, tanks):
    """Batches that stay, whole or with stages still to come."""
    batch = leaving.batch
    for number, kind in enumerate(batch.kinds):
        volume = expected(facts, kind.beer, kind.volume)
        if batch.is_opening:
            if facts.days <= batch.on + facts.beers[kind.beer]["must_leave"]:
                elapsed = min(facts.days, batch.ready) - batch.on
                add_tank(tanks, kind.beer, leaving.stays, volume, elapsed, kind.stay, facts, leaving.name)
            continue
        by_elapsed = {}
        for slot in batch.last:
            elapsed = min(facts.days - facts.day(slot), max(kind.stay, 1))
            by_elapsed.setdefault(elapsed, []).append(batch.made[number, slot])
        for elapsed, made in by_elapsed.items():
            there = model.new_bool_var(f"{leaving.name} {elapsed} d")
            model.add(there <= leaving.stays)
            model.add(there <= sum(made))
            add_tank(tanks, kind.beer, there, volume, elapsed, kind.stay, facts, f"{leaving.name} {elapsed} d")
    for stages, tanks_left, literal in pending:
        beer = batch.kinds[stages.kind].beer
        left = sum(stages.leaves[stages.tanks.index(tank)] for tank in tanks_left)
        add_tank(tanks, beer, literal, expected(facts, beer, left), 1, 1, facts, f"{leaving.name} still")


def left_in_source(model, facts, source, tanks):
    """What is left in a bright tank, or in a fermenter that is being packaged from."""
    if source.lot is not None and source.lot.is_opening:
        (beer,) = source.is_beer
        if facts.days > source.lot.filled_on + facts.beers[beer]["bright_must_leave"]:
            return
    for beer, is_beer in source.is_beer.items():
        price = facts.ready_value(beer)
        if price <= 0:
            continue
        most = source.most
        counted = model.new_int_var(0, most, f"{source.name} left of {beer}")
        is_worth = model.new_bool_var(f"{source.name} worth as {beer}")
        model.add(counted <= most * is_worth)
        model.add(is_worth <= source.stays)
        model.add(is_worth <= is_beer)
        for one in facts.beers[beer]["packaged"]:
            of = facts.formats[one["format"]]
            numerator, denominator = WHOLE - of["loss_ppm"], WHOLE + of["overfill_ppm"]
            divisor = gcd(numerator, denominator)
            loss = facts.lines[of["line"]]["loss"]
            kept = (source.left - loss) * (numerator // divisor)
            model.add(counted * (denominator // divisor) <= kept).only_enforce_if(is_worth)
        tanks.setdefault(beer, []).append(count_left(price, counted))


def count_left(price, volume):
    """What is left of beer that may be packaged, worth so much for a hectolitre."""

    def count(model, ledger, counted):
        ledger.earn(Fraction(price, HECTOLITRE), volume)
        if counted is not None:
            counted.append(volume)

    return count


def value_output(model, facts, ledger, packaged):
    """With `aim: output`: what is packaged, in its mix."""
    for volume in packaged.volumes.values():
        ledger.earn(100, volume)
    mix = facts.aim["mix"]
    if not mix:
        return
    everything = sum(packaged.volumes.values())
    for share in mix["shares"]:
        some = sum(
            volume
            for (beer, format, _), volume in packaged.volumes.items()
            if beer == share["beer"] and share["format"] in (None, format)
        )
        low, high = share["share_ppm"] - mix["tolerance_ppm"], share["share_ppm"] + mix["tolerance_ppm"]
        divisor = gcd(gcd(WHOLE, low), high)
        model.add(some * (WHOLE // divisor) >= low // divisor * everything)
        model.add(some * (WHOLE // divisor) <= high // divisor * everything)
