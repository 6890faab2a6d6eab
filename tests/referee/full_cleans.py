"""R27: full cleans: due after so many fills, and after a beer with a mark that a short clean does not take off."""


class Clean(dict):
    """A clean that may be done: literals by slot, and among them those of a full one."""

    def __init__(self, literals):
        super().__init__(literals)
        self.full = {}


def full_literals(model, facts, vessel, literals, fits, name):
    """A literal for each slot in which a vessel may be cleaned in full; a full clean is a clean."""
    of = facts.vessels[vessel]["full_clean"]
    full = {}
    for slot, literal in literals.items() if of else []:
        if fits(slot):
            full[slot] = model.new_bool_var(f"{name} full @{slot}")
            model.add_implication(full[slot], literal)
    return full


def charge_clean(facts, ledger, vessel, slot, literal, full):
    """The work and the cost of a clean, in full or not."""
    of = facts.vessels[vessel]
    short = literal - full
    ledger.work(slot, of["clean"], short)
    ledger.clean(slot, of["reach"], of["clean"]["takes"], short)
    ledger.pay(facts.rates["clean"], short)
    if of["full_clean"]:
        job = of["full_clean"]["job"]
        ledger.work(slot, job, full)
        ledger.clean(slot, of["reach"], job["takes"], full)
        cost = of["full_clean"]["cost"]
        ledger.pay(facts.rates["clean"] if cost is None else cost, full)


class Fills:
    """What has been in a vessel since its last full clean, fill by fill."""

    def __init__(self, model, facts, vessel):
        self.model, self.facts, self.vessel = model, facts, vessel
        self.of = facts.vessels[vessel]["full_clean"]
        self.count = facts.vessels[vessel]["since_full"]["fills"]
        self.marks = facts.vessels[vessel]["since_full"]["marks"]
        self.before = None

    def fill(self, present, is_beer, is_full, name):
        """The next fill: its beer, and whether it comes after a full clean."""
        if not self.of:
            return
        if self.of["every"] is not None:
            most = max(self.of["every"], 1) + 1000
            count = self.model.new_int_var(0, most, f"{name} fills")
            self.model.add(count >= present)
            self.model.add(count >= self.count + present - most * is_full).only_enforce_if(present)
            self.model.add(count <= self.of["every"]).only_enforce_if(present)
            self.count = count
        after = self.of["after"]
        for beer, is_this in is_beer.items():
            missing = after & ~self.facts.beers[beer]["marks"]
            if self.before is None:
                if self.marks & missing:
                    self.model.add(is_this <= is_full)
                continue
            for other, is_other in self.before.items():
                if self.facts.beers[other]["marks"] & missing:
                    self.model.add(is_other + is_this <= 1 + is_full)
        self.before = is_beer
