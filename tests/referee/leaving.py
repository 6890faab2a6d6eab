"""How a batch leaves its fermenter: by transfers, straight to a line, poured away, or not before the end.

R04 (ready), R05 (waiting, hard end), R22 (within three working days). What is done on the way stands in `moving` and `drawing`.
"""

from fractions import Fraction

from amounts import HECTOLITRE, nearest
from batches import one_of
from facts import CELLAR, PACKAGE
from pressure import holds_carbonation

WORKING_DAYS = 3


class Leaving:
    """The ways of one batch. Exactly one of `moved`, `direct`, `dumped` and `stays` is true where it is present."""

    def __init__(self, model, facts, batch):
        name = f"batch {batch.place} in {batch.vessel}"
        self.batch, self.name = batch, name
        slots = [s for s in facts.cellar_slots if not facts.is_away("vessel", batch.vessel, facts.day(s))]
        packs = [s for s in facts.package_slots if not facts.is_away("vessel", batch.vessel, facts.day(s))]
        dumps = [s for s in slots if batch.is_opening and facts.may_dump(batch.vessel, s)]
        self.moved = model.new_bool_var(f"{name} moved")
        self.direct = model.new_bool_var(f"{name} direct")
        self.stays = model.new_bool_var(f"{name} stays")
        self.dumped = one_of_at_most(model, dumps, f"{name} dumped")
        model.add(self.moved + self.direct + self.stays + sum(self.dumped.values()) == batch.present)
        self.first_move = one_of(model, slots, self.moved, f"{name} first move")
        self.all_moved = model.new_bool_var(f"{name} all moved")
        model.add_implication(self.all_moved, self.moved)
        self.last_move = one_of(model, slots, self.all_moved, f"{name} last move")
        self.first_pack = one_of(model, packs, self.direct, f"{name} first packaging")
        self.packed_out = model.new_bool_var(f"{name} packed out")
        model.add_implication(self.packed_out, self.direct)
        self.last_pack = one_of(model, packs, self.packed_out, f"{name} last packaging")
        self.ways(model, facts)
        self.within_days(model, facts, self.first_move, self.last_move, self.moved, self.all_moved, CELLAR)
        self.within_days(model, facts, self.first_pack, self.last_pack, self.direct, self.packed_out, PACKAGE)
        batch.emptied_by_transfer = self.last_move
        batch.emptied_otherwise = add_up(self.last_pack, self.dumped)

    def ways(self, model, facts):
        """Which beers may leave how; nothing leaves before it is ready; the day on which the next step begins."""
        batch = self.batch
        for kind, is_kind in zip(batch.kinds, batch.is_kind):
            beer = facts.beers[kind.beer]
            vessel = facts.vessels[batch.vessel]
            if not beer["bright"]:
                model.add(self.moved + is_kind <= 1)
            can = beer["direct"] and vessel["package"] and holds_carbonation(facts, beer, vessel)
            if batch.is_carbonated:
                can = beer["direct"] and vessel["package"]
            if not can:
                model.add(self.direct + is_kind <= 1)
        steps = sorted(set(self.first_move) | set(self.first_pack))
        for slot in steps:
            begun = sum(self.first_move.get(s, 0) + self.first_pack.get(s, 0) for s in steps if s <= slot)
            model.add(begun <= batch.ready_by(facts, facts.day(slot)))
        begun = add_up(add_up(self.first_move, self.first_pack), self.dumped)
        self.day = sum(facts.day(slot) * literal for slot, literal in begun.items()) + facts.days * self.stays

    def within_days(self, model, facts, first, last, begun, done, role):
        """R22: the last within three working days of the first; what is not done at the end has begun so late."""
        end = facts.days - 1
        for slot, literal in first.items():
            too_late = [s for s in last if s < slot or facts.working_days(role, facts.day(slot), facts.day(s)) > WORKING_DAYS]
            model.add(literal + sum(last[s] for s in too_late) <= 1)
            if facts.working_days(role, facts.day(slot), end) > WORKING_DAYS:
                model.add_implication(literal, done)

    def charge(self, model, facts, ledger):
        """R05: waiting, the hard end, the last resort."""
        batch, rates = self.batch, facts.rates
        if not batch.is_opening:
            hard = batch.on + batch.of_kind(lambda kind: facts.beers[kind.beer]["must_leave"])
            model.add(self.day <= hard).only_enforce_if(batch.present)
        if batch.is_opening:
            self.charge_opening(facts, ledger)
        elif rates["waiting"]:
            free = batch.ready + batch.of_kind(lambda kind: facts.beers[kind.beer]["may_wait"])
            waited = model.new_int_var(0, facts.days, f"{self.name} waited")
            model.add(waited >= self.day - free).only_enforce_if(batch.present)
            prices = [facts.in_parts(Fraction(rates["waiting"] * kind.volume, HECTOLITRE)) for kind in batch.kinds]
            cost = model.new_int_var(0, max(prices) * facts.days, f"{self.name} waiting")
            for price, is_kind in zip(prices, batch.is_kind):
                model.add(cost >= price * waited).only_enforce_if(is_kind)
            ledger.pay_parts(cost)

    def charge_opening(self, facts, ledger):
        """What is there on day 0: for each day on which it may begin to leave the amount is a number, rounded to the cent."""
        batch, rates = self.batch, facts.rates
        kind = batch.kinds[0]
        beer = facts.beers[kind.beer]
        begins = [(facts.day(s), l) for steps in (self.first_move, self.first_pack, self.dumped) for s, l in steps.items()]
        for day, literal in begins + [(facts.days, self.stays)]:
            waited = max(0, day - batch.ready - beer["may_wait"])
            over = max(0, day - batch.on - beer["must_leave"])
            ledger.pay(nearest(rates["waiting"] * waited * kind.volume, HECTOLITRE), literal)
            ledger.pay_last_resort(nearest(rates["over_limit"] * over * kind.volume, HECTOLITRE), literal)
        for literal in self.dumped.values():
            ledger.pay_last_resort(nearest(rates["dump"] * kind.volume, HECTOLITRE), literal)


def one_of_at_most(model, slots, name):
    """A literal for each slot, of which one at most is true."""
    literals = {slot: model.new_bool_var(f"{name} @{slot}") for slot in slots}
    model.add(sum(literals.values()) <= 1)
    return literals


def add_up(one, other):
    """Two families of literals of which never two are true, by slot."""
    slots = sorted(set(one) | set(other))
    return {slot: one.get(slot, 0) + other.get(slot, 0) for slot in slots}
