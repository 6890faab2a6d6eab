"""What the referee states beyond the plain facts of a case. A case that uses anything else is refused."""

STATED = {
    "full cleans",
    "materials",
    "pairs of formats",
    "people of an outage",
    "pinned brews",
    "pinned cleans",
    "pinned packaging",
    "pinned pouring away",
    "pinned transfers",
}


class Refused(Exception):
    """A case uses something that the referee does not state."""


def refuse_what_is_not_stated(case):
    """Raises `Refused` with the names of all features of a case that the referee does not state."""
    unknown = [feature for feature in case["features"] if feature not in STATED]
    if unknown:
        raise Refused("not stated by the referee: " + ", ".join(unknown))
