"""R15: people whom an outage needs. That nothing is done with what is away stands where it would be done."""

from facts import ROLES


def people_of_outages(facts, ledger):
    """Person-time of a role is asked of the first slot among an outage's days that the role works."""
    for outage in facts.outages:
        for role in ROLES:
            slots = [
                s
                for s, slot in enumerate(facts.slots)
                if 0 <= outage["first_day"] <= slot["day"] <= outage["last_day"] and facts.works(role, s)
            ]
            if slots:
                ledger.ask(slots[0], role, outage["crew"][role], 1)
