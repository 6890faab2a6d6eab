"""What vessels give to lines: bright lots, and fermenters that are packaged from straight.

R06 (later than the fill), R07 (carbonated in a fermenter shortly before), R12 (what is drawn is what is there), R21 (direct).
The program draws at least a tenth of a batch in the first and in the last packaging from its fermenter, and leaves a litre
in a vessel that it does not empty: so does the referee.
"""

from dataclasses import dataclass
from fractions import Fraction

from amounts import HECTOLITRE, taken_off
from batches import one_of
from facts import CELLAR
from lots import may_be_packaged
from pressure import feeds

LEAST_LEFT = 1000
LEAST_DRAWN = 10


@dataclass
class Source:
    """A vessel with beer that can be packaged: what is drawn of each beer, into each line, in each slot."""

    name: str
    most: int
    is_beer: dict
    draws: dict
    left: object
    stays: object
    is_touched: object
    lot: object = None
    leaving: object = None


def draw(model, facts, name, vessel, most, is_beer, slots):
    """Columns of what is drawn, and a literal for each slot in which something may be."""
    draws, packs = {}, {}
    for slot in slots:
        for beer in is_beer:
            for line in facts.lines_of(beer):
                if not facts.has_line(line, slot) or not facts.reaches_line(vessel, line):
                    continue
                if not feeds(facts, facts.beers[beer], facts.vessels[vessel], facts.lines[line]):
                    continue
                if slot not in packs:
                    packs[slot] = model.new_bool_var(f"{name} packaged @{slot}")
                drawn = model.new_int_var(0, most, f"{name} {beer} to {line} @{slot}")
                model.add(drawn <= most * is_beer[beer])
                model.add(drawn <= most * packs[slot])
                draws[beer, line, slot] = drawn
    return draws, packs


def leave(model, name, most, amount, draws, is_emptied, stays):
    """R12: all of it is drawn, or at least a litre is left, or nothing was drawn."""
    left = model.new_int_var(0, most, f"{name} left")
    model.add(left + sum(draws.values()) == amount)
    model.add(left <= most * (1 - is_emptied))
    is_touched = model.new_bool_var(f"{name} begun and not emptied")
    model.add(is_touched <= stays)
    model.add(sum(draws.values()) <= most * (is_touched + is_emptied))
    model.add(left >= LEAST_LEFT * is_touched)
    return left, is_touched


def draw_from_lots(model, facts, lots):
    """Bright tanks."""
    sources = []
    for lot in lots:
        most = facts.vessels[lot.tank]["holds"] if not lot.is_opening else lot.volume
        draws, packs = draw(model, facts, lot.name, lot.tank, most, lot.is_beer, lot.last_pack)
        for slot in lot.last_pack:
            if slot not in packs:
                model.add(lot.last_pack[slot] == 0)
                continue
            over = sum(l for s, l in lot.last_pack.items() if s < slot) + sum(l for s, l in lot.dumped.items() if s < slot)
            model.add(packs[slot] + over <= lot.present)
            model.add_implication(lot.last_pack[slot], packs[slot])
            within_hard_end(model, facts, lot, slot, packs[slot])
            for beer, is_beer in lot.is_beer.items():
                good = [fill for s, fill in lot.fill.items() if may_be_packaged(facts, lot.tank, beer, s, slot)]
                good += [
                    -full
                    for s, full in lot.full.items()
                    if may_be_packaged(facts, lot.tank, beer, s, slot)
                    and not may_be_packaged(facts, lot.tank, beer, s, slot, True)
                ]
                if not lot.is_opening:
                    model.add(packs[slot] + is_beer - 1 <= sum(good))
        is_dumped = sum(lot.dumped.values())
        is_emptied = sum(lot.last_pack.values())
        amount = lot.volume
        if lot.dumped:
            model.add(sum(draws.values()) <= most * (1 - is_dumped))
        left, touched = leave(model, lot.name, most, amount, draws, is_emptied, lot.stays)
        sources.append(Source(lot.name, most, lot.is_beer, draws, left, lot.stays, touched, lot=lot))
    return sources


def within_hard_end(model, facts, lot, slot, packs):
    """R05: nothing is packaged from a lot after its hard end; what is there on day 0 may be."""
    if lot.is_opening:
        return
    day = facts.day(slot)
    for beer, is_beer in lot.is_beer.items():
        hard = facts.beers[beer]["bright_must_leave"]
        old = [fill for s, fill in lot.fill.items() if facts.day(s) + hard < day]
        if old:
            model.add(packs + is_beer + sum(old) <= 2)


def draw_from_batches(model, facts, ledger, leavings):
    """Fermenters."""
    sources = []
    for leaving in leavings:
        batch, name = leaving.batch, f"{leaving.name} direct"
        beers = [b for b in batch.beers() if facts.beers[b]["direct"]]
        if not beers or not facts.vessels[batch.vessel]["package"]:
            model.add(leaving.direct == 0)
            continue
        volumes = {id(kind): taken_off(facts.beers[kind.beer]["loss_direct_ppm"], kind.volume) for kind in batch.kinds}
        most = max(volumes.values())
        amount = model.new_int_var(0, most, f"{name} amount")
        model.add(amount == batch.of_kind(lambda kind: volumes[id(kind)])).only_enforce_if(leaving.direct)
        model.add(amount <= most * leaving.direct)
        is_beer = {beer: batch.is_beer(beer) for beer in beers}
        draws, packs = draw(model, facts, name, batch.vessel, most, is_beer, leaving.first_pack)
        for slot in leaving.first_pack:
            if slot not in packs:
                model.add(leaving.first_pack[slot] == 0)
                model.add(leaving.last_pack[slot] == 0)
                continue
            begun = sum(l for s, l in leaving.first_pack.items() if s <= slot)
            over = sum(l for s, l in leaving.last_pack.items() if s < slot)
            model.add(packs[slot] <= begun - over)
            drawn = LEAST_DRAWN * sum(d for key, d in draws.items() if key[2] == slot)
            model.add(drawn >= amount).only_enforce_if(leaving.first_pack[slot])
            model.add(drawn >= amount).only_enforce_if(leaving.last_pack[slot])
            late = [
                l
                for s, l in leaving.first_pack.items()
                if s <= slot and facts.working_days(2, facts.day(s), facts.day(slot)) > 3
            ]
            if late:
                model.add(packs[slot] + sum(late) <= 1)
        left, touched = leave(model, name, most, amount, draws, leaving.packed_out, leaving.direct)
        model.add(touched == leaving.direct - leaving.packed_out)
        carbonate(model, facts, ledger, leaving, amount, most)
        sources.append(Source(name, most, is_beer, draws, left, leaving.direct, touched, leaving=leaving))
    return sources


def carbonate(model, facts, ledger, leaving, amount, most):
    """R07: carbonated in one of the last two working cellar slots that are early enough for the first packaging."""
    batch = leaving.batch
    if batch.is_carbonated:
        return
    for beer in batch.beers():
        if not facts.is_forced(beer):
            continue
        is_beer = batch.is_beer(beer)
        does = model.new_bool_var(f"{leaving.name} carbonated as {beer}")
        model.add(does >= leaving.direct + is_beer - 1)
        model.add(does <= leaving.direct)
        model.add(does <= is_beer)
        slots = [s for s in facts.cellar_slots if not facts.is_away("vessel", batch.vessel, facts.day(s))]
        at = one_of(model, slots, does, f"{leaving.name} carbonating {beer}")
        early = 1 if facts.beers[beer]["during_chill"] else 0
        for slot, literal in at.items():
            ledger.work(slot, facts.carbonate, literal)
            model.add(literal <= batch.ready_by(facts, facts.day(slot) + early, slot))
        for slot, first in leaving.first_pack.items():
            takes = facts.carbonating_takes(beer)
            good = [s for s in facts.cellar_slots if s < slot and facts.start(s) + takes <= facts.start(slot)][-2:]
            model.add(first + does - 1 <= sum(at[s] for s in good if s in at))
        if facts.gas(beer):
            of_beer = model.new_int_var(0, most, f"{leaving.name} gas {beer}")
            model.add(of_beer >= amount - most * (1 - does))
            ledger.pay(Fraction(facts.gas(beer), HECTOLITRE), of_beer)
