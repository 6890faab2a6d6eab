"""R08: fermenters are cleaned between two batches, sanitised where they stood clean for too long, and cost while they are dirty."""

from batches import as_variable, slot_of
from facts import CELLAR
from full_cleans import Clean, Fills, charge_clean, full_literals
from pins import pinned_slots


def clean_fermenters(model, facts, ledger, batches):
    """Writes the sequence of each fermenter: batch, clean, batch. Returns all cleans: vessel, slot, literal."""
    cleans = []
    for vessel in facts.fermenters:
        of_vessel = sorted((batch for batch in batches if batch.vessel == vessel), key=lambda batch: batch.place)
        intervals = []
        fills = Fills(model, facts, vessel)
        if not (of_vessel and of_vessel[0].is_opening):
            first = of_vessel[0] if of_vessel else None
            if vessel in facts.dirty:
                clean = may_clean(model, facts, ledger, vessel, f"clean of {vessel} before")
                cleans += [(vessel, slot, literal) for slot, literal in clean.items()]
                cleans += clean_again(model, facts, ledger, vessel, clean, first)
                dirt(model, facts, ledger, vessel, None, clean)
                if first:
                    fill_after(model, facts, ledger, None, clean, first)
                    count_fill(fills, first, sum(clean.full.values()))
                    intervals += clean_intervals(model, clean, f"clean of {vessel}")
            else:
                cleans += clean_again(model, facts, ledger, vessel, None, first)
                if first:
                    fill_of_clean(model, facts, ledger, first)
                    count_fill(fills, first, 0)
        for batch, after in zip(of_vessel, of_vessel[1:] + [None]):
            clean = may_clean(model, facts, ledger, vessel, f"clean of {vessel} after {batch.place}")
            cleans += [(vessel, slot, literal) for slot, literal in clean.items()]
            cleans += clean_again(model, facts, ledger, vessel, clean, after)
            clean_after(model, facts, batch, clean)
            dirt(model, facts, ledger, vessel, batch, clean)
            intervals.append(batch_interval(model, facts, batch))
            intervals += clean_intervals(model, clean, f"clean of {vessel} {batch.place}")
            if after:
                fill_after(model, facts, ledger, batch, clean, after)
                count_fill(fills, after, sum(clean.full.values()))
        model.add_no_overlap(intervals)
    return cleans


def count_fill(fills, batch, is_full):
    """R27: a batch that is brewed is a fill."""
    is_beer = {beer: batch.is_beer(beer) for beer in batch.beers()}
    fills.fill(batch.present, is_beer, is_full, f"batch {batch.place} in {batch.vessel}")


def clean_again(model, facts, ledger, vessel, clean, after):
    """A clean vessel is cleaned again where a pin asks for it: it is filled later, and counts as clean since the clean before."""
    of = facts.vessels[vessel]
    slots = set()
    for pin in facts.pins:
        if pin["work"] == "clean" and pin["vessel"] == vessel:
            slots |= pinned_slots(facts, pin)
    found = []
    for slot in facts.cellar_slots:
        if slot not in slots or of["clean"]["takes"] > facts.hours(slot) or facts.is_away("vessel", vessel, facts.day(slot)):
            continue
        again = model.new_bool_var(f"clean of {vessel} again @{slot}")
        if clean is not None:
            model.add(again <= sum(literal for s, literal in clean.items() if s < slot))
        if after:
            model.add(again + sum(fill for s, fill in after.first.items() if s <= slot) <= 1)
        charge_clean(facts, ledger, vessel, slot, again, 0)
        found.append((vessel, slot, again))
    return found


def may_clean(model, facts, ledger, vessel, name):
    """A clean that may be done, by slot."""
    of = facts.vessels[vessel]
    slots = [
        slot
        for slot in facts.cellar_slots
        if of["clean"]["takes"] <= facts.hours(slot) and not facts.is_away("vessel", vessel, facts.day(slot))
    ]
    clean = Clean({slot: model.new_bool_var(f"{name} @{slot}") for slot in slots})
    model.add(sum(clean.values()) <= 1)
    fits = lambda slot: of["full_clean"]["job"]["takes"] <= facts.hours(slot)
    clean.full = full_literals(model, facts, vessel, clean, fits, name)
    for slot, literal in clean.items():
        charge_clean(facts, ledger, vessel, slot, literal, clean.full.get(slot, 0))
    return clean


def emptied(batch):
    """Slots with what empties a vessel in them."""
    slots = sorted(set(batch.emptied_by_transfer) | set(batch.emptied_otherwise))
    return {slot: batch.emptied_by_transfer.get(slot, 0) + batch.emptied_otherwise.get(slot, 0) for slot in slots}


def clean_after(model, facts, batch, clean):
    """A vessel is cleaned after it is empty: in a later slot, or in the slot of the last transfer where that may be."""
    of = facts.vessels[batch.vessel]
    empties = emptied(batch)
    for slot in clean:
        same = of["clean_after_same_shift"] and facts.transfer["job"]["takes"] + of["clean"]["takes"] <= facts.hours(slot)
        before = sum(empty for s, empty in empties.items() if s < slot)
        if same:
            before += batch.emptied_by_transfer.get(slot, 0)
            if slot in clean.full and facts.transfer["job"]["takes"] + of["full_clean"]["job"]["takes"] > facts.hours(slot):
                model.add(clean.full[slot] + batch.emptied_by_transfer.get(slot, 0) <= 1)
        model.add(sum(l for s, l in clean.items() if s <= slot) <= before)


def fill_after(model, facts, ledger, batch, clean, after):
    """The next batch: after the clean, in its slot only where the hours of all that is done in it suffice."""
    of = facts.vessels[after.vessel]
    brew = facts.brewhouse["next_turn"]["takes"]
    for slot, fill in after.first.items():
        cleaned = sum(literal for s, literal in clean.items() if s < slot)
        if slot in clean and of["clean"]["takes"] + brew <= facts.hours(slot):
            cleaned += clean[slot]
            by_transfer = batch.emptied_by_transfer.get(slot, 0) if batch else 0
            if facts.transfer["job"]["takes"] + of["clean"]["takes"] + brew > facts.hours(slot):
                model.add(fill + clean[slot] + by_transfer <= 2)
            if slot in clean.full:
                takes = of["full_clean"]["job"]["takes"] + brew
                if takes > facts.hours(slot):
                    model.add(fill + clean.full[slot] <= 1)
                elif facts.transfer["job"]["takes"] + takes > facts.hours(slot):
                    model.add(fill + clean.full[slot] + by_transfer <= 2)
        model.add(sum(f for s, f in after.first.items() if s <= slot) <= cleaned)
        old = [literal for s, literal in clean.items() if facts.start(slot) - facts.start(s) > facts.cleaning["stays_clean"]]
        if old:
            sanitise(model, facts, ledger, after, slot, fill, sum(old))


def fill_of_clean(model, facts, ledger, batch):
    """A vessel that is clean on day 0 counts as cleaned so long before slot 0 that it is just clean in it."""
    for slot, fill in batch.first.items():
        if facts.start(slot) > facts.start(0):
            sanitise(model, facts, ledger, batch, slot, fill, 1)


def sanitise(model, facts, ledger, batch, slot, fill, is_old):
    """A vessel that is filled long after its clean is sanitised in the same slot."""
    if not facts.works(CELLAR, slot):
        model.add(fill + is_old <= 1)
        return
    literal = model.new_bool_var(f"sanitise {batch.vessel} before {batch.place} @{slot}")
    model.add(literal >= fill + is_old - 1)
    ledger.work(slot, facts.sanitise, literal)
    ledger.pay(facts.rates["sanitise"], literal)


def dirt(model, facts, ledger, vessel, batch, clean):
    """A vessel that is dirty at the end of a day costs from the second working day after its emptying on; the hard end of dirt."""
    within = facts.cleaning["clean_within"]
    empties = {-1: 1} if batch is None else {slot: literal for slot, literal in emptied(batch).items()}
    day_of = lambda slot: -1 if batch is None else facts.day(slot)
    for day in range(facts.days):
        cleaned = sum(literal for slot, literal in clean.items() if facts.day(slot) <= day)
        long = sum(l for slot, l in empties.items() if day_of(slot) <= day and facts.working_days(CELLAR, day_of(slot), day) >= 2)
        if not isinstance(long, int) or long:
            is_dirty = model.new_bool_var(f"{vessel} dirty on {day}")
            model.add(is_dirty >= long - cleaned)
            ledger.pay(facts.rates["dirty"], is_dirty)
        if within is not None and batch is not None:
            late = sum(
                l for slot, l in empties.items() if day_of(slot) <= day and facts.working_days(CELLAR, day_of(slot), day) >= within
            )
            model.add(late <= cleaned)


def batch_interval(model, facts, batch):
    """A batch as an optional interval in thirds of slots: filled in the last, emptied before the second."""
    name = f"batch {batch.place} in {batch.vessel}"
    horizon = 3 * (len(facts.slots) + 1)
    start = 0 if batch.is_opening else as_variable(model, 3 * slot_of(batch.first) + 2, horizon, f"{name} start")
    out = emptied(batch)
    until = sum((3 * slot + 1) * literal for slot, literal in out.items()) + horizon * (batch.present - sum(out.values()))
    end = model.new_int_var(0, horizon, f"{name} end")
    model.add(end == until).only_enforce_if(batch.present)
    size = model.new_int_var(0, horizon, f"{name} size")
    if batch.is_opening:
        return model.new_interval_var(start, size, end, name)
    return model.new_optional_interval_var(start, size, end, batch.present, name)


def clean_intervals(model, clean, name):
    """A clean as an optional interval: the second third of its slot."""
    return [model.new_optional_fixed_size_interval_var(3 * slot + 1, 1, literal, f"{name} @{slot}") for slot, literal in clean.items()]
