"""What work asks of people and cleaning sets, slot by slot, and what it costs.

R09 (people), R08 (cleaning sets). All other files report their work here and never look at it again.
"""

from fractions import Fraction
from itertools import combinations

from amounts import TICKS
from facts import PACKAGE, ROLES


class Ledger:
    """The model that is built, the work and the money in it."""

    def __init__(self, model, facts):
        self.model = model
        self.facts = facts
        self.gains = []
        self.person_minutes = {}
        self.line_ticks = {}
        self.cleans = {}

    # Money ------------------------------------------------------------------------------------------------------------

    def earn(self, cents, amount):
        """Earns so many cents (perhaps a fraction) for each unit of an expression."""
        self.gains.append(self.facts.in_parts(cents) * amount)

    def pay(self, cents, amount):
        """Pays so many cents for each unit of an expression."""
        self.earn(-cents, amount)

    def pay_parts(self, amount):
        """Pays an amount that is in the unit of the objective."""
        self.gains.append(-amount)

    def pay_last_resort(self, cents, amount):
        """Pays for the last resort, which counts a thousandfold where output is the aim."""
        self.pay(cents * (1 if self.facts.is_orders else 1000), amount)

    # Work -------------------------------------------------------------------------------------------------------------

    def work(self, slot, job, times):
        """A job is done so many times in a slot: its person-time is asked for and paid."""
        for role, minutes in enumerate(job["crew"]):
            self.ask(slot, role, minutes, times)

    def ask(self, slot, role, minutes, times):
        """Person-time of a role."""
        if minutes:
            self.person_minutes.setdefault((slot, role), []).append(minutes * times)
            self.pay_labour(minutes, times)

    def pay_labour(self, minutes, times):
        self.pay(Fraction(self.facts.rates["labour"] * minutes, 60), times)

    def clean(self, slot, reach, minutes, times):
        """Clock time on a cleaning set."""
        self.cleans.setdefault(slot, []).append((frozenset(reach), minutes * times))

    def run_line(self, slot, line, ticks):
        """Clock time of a line in a slot, in ticks."""
        people = self.facts.lines[line]["people"]
        self.line_ticks.setdefault(slot, {})[line] = ticks
        self.pay(Fraction(self.facts.rates["labour"] * people, 60 * TICKS), ticks)

    # Limits -----------------------------------------------------------------------------------------------------------

    def close(self):
        """Writes the limits of people and cleaning sets."""
        self.overtime = {}
        for slot in range(len(self.facts.slots)):
            self.close_people(slot)
            self.close_cleaning_sets(slot)
        self.close_weeks()

    def overtime_of(self, crew, slot):
        """R09: overtime of a crew in a slot, in ticks; it costs all who are there."""
        of = self.facts.crews[crew]
        if not of["overtime"] or of["hours"][slot] == 0:
            return 0
        if (crew, slot) not in self.overtime:
            most = of["overtime"]["at_most"] * TICKS
            self.overtime[crew, slot] = self.model.new_int_var(0, most, f"overtime {crew} {slot}")
            cents = Fraction(of["people"][slot] * of["overtime"]["cost"], 60 * TICKS)
            self.pay(cents, self.overtime[crew, slot])
        return self.overtime[crew, slot]

    def close_people(self, slot):
        lines = self.line_ticks.get(slot, {})
        asked = {role: sum(self.person_minutes.get((slot, role), [])) * TICKS for role in ROLES}
        asked[PACKAGE] += sum(self.facts.lines[line]["people"] * ticks for line, ticks in lines.items())
        crews = [c for c in range(len(self.facts.crews)) if not self.facts.crews[c]["check_only"]]
        for count in (1, 2, 3):
            for roles in combinations(ROLES, count):
                need = sum(asked[role] for role in roles)
                if isinstance(need, int) and need == 0:
                    continue
                there = sum(
                    self.facts.crews[crew]["people"][slot]
                    * (self.facts.crews[crew]["hours"][slot] * TICKS + self.overtime_of(crew, slot))
                    for crew in crews
                    if any(self.facts.crews[crew]["roles"][role] for role in roles)
                )
                self.model.add(need <= there)
        self.close_heads(slot, lines)

    def close_heads(self, slot, lines):
        """R09: lines whose people are not there together run one after another."""
        packers = [c for c, crew in enumerate(self.facts.crews) if crew["roles"][PACKAGE] and crew["people"][slot]]
        there = sum(self.facts.crews[crew]["people"][slot] for crew in packers)
        for count in range(1, len(lines) + 1):
            for some in combinations(sorted(lines), count):
                together, heads = 0, 0
                for people in sorted(self.facts.lines[line]["people"] for line in some):
                    heads += people
                    together += heads <= there
                for crew in packers:
                    hours = self.facts.crews[crew]["hours"][slot] * TICKS + self.overtime_of(crew, slot)
                    self.model.add(sum(lines[line] for line in some) <= together * hours)

    def close_weeks(self):
        """R09: overtime of the people of one shift of a crew from a Monday to the Sunday after."""
        weeks = {}
        for (crew, slot), ticks in self.overtime.items():
            of = self.facts.slots[slot]
            monday = self.facts.by_day[of["day"]]["monday"]
            weeks.setdefault((crew, of["shift"], monday), []).append(ticks)
        for (crew, _, _), ticks in weeks.items():
            most = self.facts.crews[crew]["overtime"]["a_week"]
            if most is not None:
                self.model.add(sum(ticks) <= most * TICKS)

    def close_cleaning_sets(self, slot):
        """R08: for every choice of named sets what only they can do fits into their hours; all of it into all sets."""
        cleans = self.cleans.get(slot, [])
        if not cleans:
            return
        cleaning, hours = self.facts.cleaning, self.facts.hours(slot)
        self.model.add(sum(minutes for _, minutes in cleans) <= cleaning["sets"] * hours)
        for count in range(1, cleaning["named"] + 1):
            for chosen in combinations(range(cleaning["named"]), count):
                only = [minutes for reach, minutes in cleans if reach <= set(chosen)]
                if only:
                    self.model.add(sum(only) <= count * hours)

    def objective(self):
        """What is to be as large as possible."""
        return sum(self.gains)

