"""A case as it was exported, with what is looked up again and again."""

from fractions import Fraction

from amounts import WHOLE, nearest, parts_of_a_cent, share_of, taken_off

BREW, CELLAR, PACKAGE = 0, 1, 2
ROLES = (BREW, CELLAR, PACKAGE)


class Facts:
    """A case; volumes in millilitres, times in minutes, money in cents."""

    def __init__(self, case):
        self.__dict__.update(case)
        self.days = self.calendar["days"]
        self.slots = self.calendar["slots"]
        self.by_day = self.calendar["by_day"]
        self.cellar_slots = [s for s in range(len(self.slots)) if self.works(CELLAR, s)]
        self.brew_slots = [s for s in range(len(self.slots)) if self.works(BREW, s)]
        self.package_slots = [s for s in range(len(self.slots)) if self.works(PACKAGE, s)]
        self.days_of_role = [
            sorted({self.day(s) for s in range(len(self.slots)) if self.works(role, s)}) for role in ROLES
        ]
        self.fermenters = [v for v, vessel in enumerate(self.vessels) if vessel["ferment"]]
        self.brights = [v for v, vessel in enumerate(self.vessels) if vessel["bright"]]
        self.is_orders = self.aim["orders"]
        self.cent = parts_of_a_cent(self)

    def in_parts(self, cents):
        """An amount of cents, perhaps a fraction, in the unit of the objective."""
        return nearest(*Fraction(cents * self.cent).as_integer_ratio())

    def works(self, role, slot):
        return self.slots[slot]["works"][role]

    def day(self, slot):
        return self.slots[slot]["day"]

    def start(self, slot):
        return self.slots[slot]["starts"]

    def hours(self, slot):
        return self.slots[slot]["hours"]

    def slots_of_day(self, day):
        return [s for s in range(len(self.slots)) if self.day(s) == day]

    def working_days(self, role, after, to):
        """Days after one day, up to and including another, with a working slot of a role."""
        return sum(1 for day in self.days_of_role[role] if after < day <= to)

    def is_away(self, what, which, day):
        """R15: whether something is away on a day."""
        return any(
            outage["what"] == what
            and outage["which"] == which
            and outage["first_day"] <= day <= outage["last_day"]
            for outage in self.outages
        )

    def may_dump(self, vessel, slot):
        """R16: where anything is pinned, or a vessel must be empty, beer is poured away by a pin alone."""
        if not self.pins and not any(outage["must_be_empty"] for outage in self.outages):
            return True
        of = self.slots[slot]
        return any(
            pin["work"] == "dump"
            and pin["vessel"] == vessel
            and pin["day"] in (None, of["day"])
            and pin["shift"] in (None, of["shift"])
            for pin in self.pins
        )

    def has_line(self, line, slot):
        """R10, R15: whether a line can run in a slot at all."""
        day = self.day(slot)
        return self.lines[line]["is_there"][day] and not self.is_away("line", line, day)

    def pace(self, line):
        """R10: millilitres an hour."""
        return share_of(self.lines[line]["efficiency_ppm"], self.lines[line]["speed"])

    def lines_of(self, beer):
        """Lines that fill a format of a beer."""
        packaged = self.beers[beer]["packaged"]
        return sorted({self.formats[one["format"]]["line"] for one in packaged})

    def formats_of(self, beer, line):
        """Formats of a beer on a line."""
        packaged = self.beers[beer]["packaged"]
        return [one["format"] for one in packaged if self.formats[one["format"]]["line"] == line]

    def contribution(self, beer, format):
        """Cents per hectolitre."""
        for one in self.beers[beer]["packaged"]:
            if one["format"] == format:
                return one["contribution"]
        return 0

    def order_worth(self, order):
        """R13: cents per hectolitre delivered: what does not come stays in stock."""
        likely, surplus = order["likely_ppm"], self.rates["surplus_ppm"]
        contribution = self.contribution(order["beer"], order["format"])
        return share_of(likely + share_of(WHOLE - likely, surplus), contribution)

    def is_forced(self, beer):
        """R07, R11: whether a beer is carbonated by work."""
        of = self.beers[beer]
        brings_all = of["spund"] and of["spund"]["carbonation"] >= of["carbonation"]
        return of["carbonating"] == "forced" and (not brings_all or of["nitrogen"] is not None)

    def carbonating_takes(self, beer):
        """Clock time of carbonating, or of giving nitrogen."""
        nitrogen = self.beers[beer]["nitrogen"]
        return nitrogen["takes"] if nitrogen else self.carbonate["takes"]

    def gas(self, beer):
        """R11: cents of gas per hectolitre."""
        of = self.beers[beer]
        own = of["spund"]["carbonation"] * WHOLE // of["carbonation"] if of["spund"] else 0
        return share_of(WHOLE - min(own, WHOLE), self.rates["gas"])

    def arrives(self, beer, leaves):
        """R02: what arrives of what leaves a fermenter."""
        moved = max(0, taken_off(self.transfer["loss_ppm"], leaves) - self.transfer["loss_fixed"])
        filter = self.beers[beer]["filter"]
        if filter is None:
            return moved
        of = self.filters[filter]
        return max(0, taken_off(of["loss_ppm"], moved) - of["loss_fixed"])

    def reaches_vessel(self, source, target):
        reaches = self.vessels[source]["reaches"]
        return reaches is None or target in reaches["vessels"]

    def reaches_line(self, source, line):
        reaches = self.vessels[source]["reaches"]
        return reaches is None or line in reaches["lines"]

    def ready_value(self, beer):
        """Cents per packaged hectolitre of beer still in a vessel, once its stay is over."""
        lowest = min(one["contribution"] for one in self.beers[beer]["packaged"])
        return max(0, share_of(self.rates["surplus_ppm"], lowest) - self.rates["to_package"])
