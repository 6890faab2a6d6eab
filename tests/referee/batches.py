"""Batches in fermenters: one optional batch for each vessel and place in its sequence.

R01 (one batch, filled within a time), R02 (levels of fermenters), R03 (turns of a day), R04 (ready), R20, R21 (brewing).
"""

from dataclasses import dataclass, field

from amounts import taken_off
from pressure import holds_fermentation


@dataclass
class Kind:
    """What a batch can be: a beer in so many turns."""

    beer: int
    turns: int
    wort: int
    volume: int
    stay: int


@dataclass
class Batch:
    """A batch in a fermenter. Literals are by slot; what is there on day 0 has no turns."""

    vessel: int
    place: int
    present: object
    kinds: list
    is_kind: list
    on: object
    ready: object
    is_opening: bool = False
    is_carbonated: bool = False
    first: dict = field(default_factory=dict)
    last: dict = field(default_factory=dict)
    turns: dict = field(default_factory=dict)
    made: dict = field(default_factory=dict)
    emptied_by_transfer: dict = field(default_factory=dict)
    emptied_otherwise: dict = field(default_factory=dict)

    def is_beer(self, beer):
        """Whether it is of a beer: an expression of 0 or 1."""
        return sum(lit for kind, lit in zip(self.kinds, self.is_kind) if kind.beer == beer)

    def beers(self):
        return sorted({kind.beer for kind in self.kinds})

    def ready_by(self, facts, day, before=None):
        """Whether it is there and ready by a day (and its last turn is in a slot before another), as an expression."""
        if self.is_opening:
            return 1 if self.ready <= day else 0
        return sum(
            made
            for (k, slot), made in self.made.items()
            if facts.day(slot) + self.kinds[k].stay <= day and (before is None or slot < before)
        )

    def of_kind(self, number):
        """A number that depends on the kind, as an expression; 0 where the batch is not present."""
        return sum(number(kind) * lit for kind, lit in zip(self.kinds, self.is_kind))


def one_of(model, slots, count, name):
    """A literal for each slot, of which so many are true."""
    literals = {slot: model.new_bool_var(f"{name} @{slot}") for slot in slots}
    model.add(sum(literals.values()) == count)
    return literals


def as_variable(model, expression, most, name):
    """A variable that equals an expression, for intervals."""
    variable = model.new_int_var(0, most, name)
    model.add(variable == expression)
    return variable


def slot_of(literals):
    """The slot of the literal that is true, as an expression."""
    return sum(slot * literal for slot, literal in literals.items())


def kinds_of(facts, vessel):
    """R02: what can be brewed into a vessel."""
    of = facts.vessels[vessel]
    found = []
    for beer, data in enumerate(facts.beers):
        if not holds_fermentation(facts, data, of):
            continue
        turn = data["turn"] if data["turn"] is not None else facts.brewhouse["turn"]
        sizes = [(turns, turns * turn) for turns in data["turns"]] + [(1, part) for part in data["part_turns"]]
        for turns, wort in sizes:
            if of["least"] <= wort <= of["holds"]:
                found.append(Kind(beer, turns, wort, taken_off(data["loss_tank_ppm"], wort), data["stay"]))
    return found


def opening_batch(facts, tank):
    """R14: a batch that is there on day 0."""
    beer = facts.beers[tank["beer"]]
    kind = Kind(tank["beer"], 0, tank["filled"], taken_off(beer["loss_tank_ppm"], tank["filled"]), tank["ready"] - tank["on"])
    batch = Batch(tank["vessel"], 0, 1, [kind], [1], tank["on"], tank["ready"])
    batch.is_opening, batch.is_carbonated = True, tank["carbonated"]
    return batch


def most_batches(facts, kinds, slots):
    """How many batches can be brewed into a vessel one after another, at most."""
    shortest = min(kind.stay for kind in kinds)
    day, count = 0, 0
    while True:
        later = [slot for slot in slots if facts.day(slot) >= day]
        if not later:
            return count
        count += 1
        day = facts.day(later[0]) + max(1, shortest)


def make_batches(model, facts, ledger):
    """All batches: what is there on day 0, and what may be brewed."""
    batches = [opening_batch(facts, tank) for tank in facts.in_tank if not tank["is_bright"]]
    for vessel in facts.fermenters:
        kinds = kinds_of(facts, vessel)
        slots = [
            slot
            for slot in facts.brew_slots
            if not facts.is_away("brewhouse", 0, facts.day(slot)) and not facts.is_away("vessel", vessel, facts.day(slot))
        ]
        if not kinds or not slots:
            continue
        before = None
        for place in range(1, most_batches(facts, kinds, slots) + 1):
            batch = new_batch(model, facts, vessel, place, kinds, slots)
            if before is not None:
                model.add_implication(batch.present, before.present)
            batches.append(batch)
            before = batch
    brewing(model, facts, ledger, batches)
    return batches


def new_batch(model, facts, vessel, place, kinds, slots):
    """R01: a batch that may be brewed: turns in one slot, or in several that follow within `fill_within`."""
    name = f"batch {place} in {vessel}"
    present = model.new_bool_var(name)
    is_kind = [model.new_bool_var(f"{name} kind {k}") for k in range(len(kinds))]
    model.add(sum(is_kind) == present)
    first = one_of(model, slots, present, f"{name} first turn")
    most = max(kind.turns for kind in kinds)
    within = facts.brewhouse["fill_within"]
    day_most = turns_of_a_day(facts)
    pairs = [(s, t) for s in slots for t in slots if s < t and facts.start(t) - facts.start(s) <= within]
    batch = Batch(vessel, place, present, kinds, is_kind, None, None)
    batch.first = first
    all_turns = batch.of_kind(lambda kind: kind.turns)
    if most == 1 or not pairs:
        batch.last = first
        for slot in slots:
            batch.turns[slot] = model.new_int_var(0, min(most, day_most), f"{name} turns @{slot}")
            model.add(batch.turns[slot] <= most * first[slot])
            model.add(batch.turns[slot] >= first[slot])
    else:
        batch.last = one_of(model, slots, present, f"{name} last turn")
        for slot in slots:
            turns = model.new_int_var(0, min(most, day_most), f"{name} turns @{slot}")
            batch.turns[slot] = turns
            model.add(turns >= first[slot])
            model.add(turns >= batch.last[slot])
            begun = sum(first[s] for s in slots if s <= slot)
            over = sum(batch.last[s] for s in slots if s < slot)
            model.add(turns <= most * (begun - over))
            far = [t for t in slots if t < slot or facts.start(t) - facts.start(slot) > within]
            model.add(sum(batch.last[t] for t in far) + first[slot] <= 1)
    model.add(sum(batch.turns.values()) == all_turns)
    for k, lit in enumerate(is_kind):
        for slot in slots:
            batch.made[k, slot] = model.new_bool_var(f"{name} kind {k} made @{slot}")
        model.add(sum(batch.made[k, slot] for slot in slots) == lit)
    for slot in slots:
        model.add(sum(batch.made[k, slot] for k in range(len(kinds))) == batch.last[slot])
    batch.on = sum(facts.day(slot) * literal for slot, literal in batch.last.items())
    batch.ready = batch.on + batch.of_kind(lambda kind: kind.stay)
    return batch


def turns_by_liquor(facts):
    """R03: the most turns of a day that hot and cold liquor let end in time."""
    house = facts.brewhouse
    level = {number: of["tank"] * 60 for number, of in enumerate(house["liquor"])}
    time, count = 0, 0
    while count < house["turns_per_day"]:
        # Levels count millilitres times 60, so that what a minute makes is whole.
        waits = [0]
        for number, of in enumerate(house["liquor"]):
            if of["per_turn"] > of["tank"] or (of["makes"] == 0 and level[number] < of["per_turn"] * 60):
                return count
            missing = max(0, of["per_turn"] * 60 - level[number])
            waits.append(-(-missing // of["makes"]) if missing else 0)
        wait = max(waits)
        takes = max(1, house["next_turn" if count else "first_turn"]["takes"])
        time += wait
        if time + takes > house["hours_per_day"]:
            return count
        for number, of in enumerate(house["liquor"]):
            level[number] = min(of["tank"] * 60, level[number] + wait * of["makes"]) - of["per_turn"] * 60
            level[number] = min(of["tank"] * 60, level[number] + takes * of["makes"])
        time += takes
        count += 1
    return count


def turns_of_a_day(facts):
    """R03: turns of a day at most, what beers take longer left aside."""
    house = facts.brewhouse
    left = house["hours_per_day"] - house["first_turn"]["takes"]
    if left < 0:
        return 0
    more = left // house["next_turn"]["takes"] if house["next_turn"]["takes"] else house["turns_per_day"]
    most = min(house["turns_per_day"], 1 + more)
    return min(most, turns_by_liquor(facts)) if house["liquor"] else most


def turns_by_beer(model, facts, batch, slot, beer):
    """Turns of a beer that a batch has in a slot, as an expression."""
    if batch.beers() == [beer]:
        return batch.turns[slot]
    turns = model.new_int_var(0, max(kind.turns for kind in batch.kinds), f"turns of {beer} {batch.vessel} {batch.place} @{slot}")
    model.add(turns <= max(kind.turns for kind in batch.kinds) * batch.is_beer(beer))
    model.add(turns <= batch.turns[slot])
    model.add(turns >= batch.turns[slot] - max(kind.turns for kind in batch.kinds) * (1 - batch.is_beer(beer)))
    return turns


def brewing(model, facts, ledger, batches):
    """R03: turns of a day, the first of which takes more; what some beers take longer."""
    house = facts.brewhouse
    new = [batch for batch in batches if not batch.is_opening]
    longer = [b for b, beer in enumerate(facts.beers) if beer["longer"]["takes"] or any(beer["longer"]["crew"])]
    for day in range(facts.days):
        slots = [slot for slot in facts.slots_of_day(day) if any(slot in batch.turns for batch in new)]
        if not slots:
            continue
        turns = {slot: sum(batch.turns[slot] for batch in new if slot in batch.turns) for slot in slots}
        brews = model.new_bool_var(f"brewing on {day}")
        first = {slot: model.new_bool_var(f"first turn of {day} @{slot}") for slot in slots}
        model.add(sum(first.values()) == brews)
        takes = (house["first_turn"]["takes"] - house["next_turn"]["takes"]) * brews
        for slot in slots:
            before = sum(first[s] for s in slots if s <= slot)
            model.add(turns[slot] <= turns_of_a_day(facts) * before)
            model.add(turns[slot] >= first[slot])
            ledger.work(slot, house["first_turn"], first[slot])
            ledger.work(slot, house["next_turn"], turns[slot] - first[slot])
            takes += house["next_turn"]["takes"] * turns[slot]
            for beer in longer:
                for batch in new:
                    if slot in batch.turns and beer in batch.beers():
                        those = turns_by_beer(model, facts, batch, slot, beer)
                        ledger.work(slot, facts.beers[beer]["longer"], those)
                        takes += facts.beers[beer]["longer"]["takes"] * those
        model.add(sum(turns.values()) <= turns_of_a_day(facts))
        model.add(takes <= house["hours_per_day"])
