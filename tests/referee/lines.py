"""Packaging lines: runs of beers, their order, volumes that are packaged.

R10 (line time, changes, smallest run, visits), R12 (losses of lines and formats).
"""

from fractions import Fraction
from itertools import permutations
from math import gcd

from amounts import HECTOLITRE, TICKS, WHOLE
from facts import PACKAGE

# With pairs of formats a format that runs fills at least a litre, as in the program.
LEAST_FILLED = 1000


class Packaged:
    """What is packaged: millilitres by beer, format and slot."""

    def __init__(self):
        self.volumes = {}

    def of(self, beer, format):
        """Slots with what is packaged in them of a beer in a format."""
        return [(slot, volume) for (b, f, slot), volume in self.volumes.items() if (b, f) == (beer, format)]


def run_lines(model, facts, ledger, sources):
    """All lines in all slots. Returns what is packaged."""
    packaged = Packaged()
    drawn_by_day = {}
    for slot in facts.package_slots:
        for line in range(len(facts.lines)):
            drawn = {}
            for source in sources:
                for (beer, to, at), draw in source.draws.items():
                    if (to, at) == (line, slot):
                        drawn.setdefault(beer, []).append(draw)
            if drawn:
                one_line(model, facts, ledger, line, slot, drawn, packaged)
                on, volumes = drawn_by_day.setdefault((line, facts.day(slot)), ([], []))
                on.append(packaged.last_on)
                volumes.extend(draw for draws in drawn.values() for draw in draws)
    for (line, day), (on, volumes) in drawn_by_day.items():
        visit(model, facts, ledger, line, day, on, volumes)
    return packaged


def most_drawn(facts, line, slot):
    """More than a line can draw in a slot."""
    overtime = max((crew["overtime"]["at_most"] for crew in facts.crews if crew["overtime"]), default=0)
    hours = max(crew["hours"][slot] for crew in facts.crews if crew["roles"][PACKAGE])
    return facts.pace(line) * (hours + overtime) // 60


def one_line(model, facts, ledger, line, slot, drawn, packaged):
    """A line in a slot."""
    of, name = facts.lines[line], f"line {line} @{slot}"
    is_on = model.new_bool_var(f"{name} on")
    packaged.last_on = is_on
    runs, changes, fills = {}, 0, {}
    for beer, draws in sorted(drawn.items()):
        run = model.new_bool_var(f"{name} runs {beer}")
        runs[beer] = run
        model.add_implication(run, is_on)
        most = most_drawn(facts, line, slot)
        model.add(sum(draws) <= most * run)
        formats = facts.formats_of(beer, line)
        reaching, fills[beer] = {}, {}
        for format in formats:
            fills[beer][format] = model.new_bool_var(f"{name} {beer} in {format}") if len(formats) > 1 else run
            model.add(fills[beer][format] <= run)
            reaching[format] = model.new_int_var(0, most, f"{name} {beer} reaches {format}")
            model.add(reaching[format] <= most * fills[beer][format])
            packaged.volumes[beer, format, slot] = fill(model, facts, format, reaching[format], most, f"{name} {beer} packaged {format}")
        model.add(sum(reaching.values()) == sum(draws) - of["loss"] * run)
        model.add(sum(fills[beer].values()) >= run)
        if of["format_pairs"]:
            for format in formats:
                model.add(reaching[format] >= LEAST_FILLED * fills[beer][format])
        else:
            changes += of["change_format"] * (sum(fills[beer].values()) - run)
        if of["least_run"] and facts.rates["short_run"]:
            short = model.new_int_var(0, of["least_run"], f"{name} {beer} short")
            model.add(short >= of["least_run"] * run - sum(draws))
            ledger.pay(Fraction(facts.rates["short_run"], HECTOLITRE), short)
    model.add(sum(runs.values()) >= is_on)
    if of["format_pairs"]:
        changes += order_of_formats(model, facts, line, slot, runs, fills, is_on)
    else:
        changes += order_of_beers(model, facts, line, slot, runs, is_on)
    fixed = (of["start_up"] + of["clean_down"]) * is_on + changes
    volume = sum(draw for draws in drawn.values() for draw in draws)
    pace = facts.pace(line)
    divisor = gcd(gcd(60 * TICKS, pace), TICKS * pace)
    most = (facts.hours(slot) + 24 * 60) * TICKS
    ticks = model.new_int_var(0, most, f"{name} ticks")
    model.add(ticks * (pace // divisor) >= volume * (60 * TICKS // divisor) + fixed * (TICKS * pace // divisor))
    ledger.run_line(slot, line, ticks)
    ledger.clean(slot, of["reach"], of["clean_down"], is_on)


def fill(model, facts, format, reaching, most, name):
    """R12: what is packaged of what reaches a format, rounded down to the millilitre."""
    of = facts.formats[format]
    numerator, denominator = WHOLE - of["loss_ppm"], WHOLE + of["overfill_ppm"]
    divisor = gcd(numerator, denominator)
    if numerator == denominator:
        return reaching
    volume = model.new_int_var(0, most, name)
    numerator, denominator = numerator // divisor, denominator // divisor
    model.add(volume * denominator <= reaching * numerator)
    model.add(volume * denominator >= reaching * numerator - denominator + 1)
    return volume


def order_of_beers(model, facts, line, slot, runs, is_on):
    """R10: minutes of the changes between beers, in an order in which none follows one that it may not follow."""
    of = facts.lines[line]
    if len(runs) == 1:
        return 0
    if not of["never_after"] and not of["change_pairs"]:
        return of["change_beer"] * (sum(runs.values()) - is_on)
    pairs = {(before, after): takes for before, after, takes in of["change_pairs"]}
    never = {(before, after) for before, after in of["never_after"]}
    beers = sorted(runs)
    node = {beer: position + 1 for position, beer in enumerate(beers)}
    arcs, changes = [], 0
    for beer in beers:
        arcs.append((node[beer], node[beer], ~runs[beer]))
        arcs.append((0, node[beer], model.new_bool_var(f"line {line} @{slot} begins with {beer}")))
        arcs.append((node[beer], 0, model.new_bool_var(f"line {line} @{slot} ends with {beer}")))
    for before, after in permutations(beers, 2):
        if (before, after) in never:
            continue
        follows = model.new_bool_var(f"line {line} @{slot} {after} after {before}")
        arcs.append((node[before], node[after], follows))
        changes += pairs.get((before, after), of["change_beer"]) * follows
    arcs.append((0, 0, ~is_on))
    model.add_circuit(arcs)
    return changes


def order_of_formats(model, facts, line, slot, runs, fills, is_on):
    """R10: minutes of the changes between formats and beers where pairs of formats are given: each beer in one piece, each format too."""
    of = facts.lines[line]
    beers = {(before, after): takes for before, after, takes in of["change_pairs"]}
    formats = {(before, after): takes for before, after, takes in of["format_pairs"]}
    never = {(before, after) for before, after in of["never_after"]}
    nodes = [(beer, format) for beer in sorted(runs) for format in sorted(fills[beer])]
    place = {node: position + 1 for position, node in enumerate(nodes)}
    arcs, changes, enters = [(0, 0, ~is_on)], 0, {beer: [] for beer in runs}
    for node in nodes:
        begins = model.new_bool_var(f"line {line} @{slot} begins with {node}")
        arcs.append((0, place[node], begins))
        enters[node[0]].append(begins)
        arcs.append((place[node], 0, model.new_bool_var(f"line {line} @{slot} ends with {node}")))
        arcs.append((place[node], place[node], ~fills[node[0]][node[1]]))
    for before, after in permutations(nodes, 2):
        takes = formats.get((before[1], after[1]), of["change_format"] if before[0] == after[0] else 0)
        if takes is None or (before[0], after[0]) in never:
            continue
        follows = model.new_bool_var(f"line {line} @{slot} {after} after {before}")
        arcs.append((place[before], place[after], follows))
        if before[0] != after[0]:
            takes = max(takes, beers.get((before[0], after[0]), of["change_beer"]))
            enters[after[0]].append(follows)
        changes += takes * follows
    for beer, literals in enters.items():
        model.add(sum(literals) == runs[beer])
    model.add_circuit(arcs)
    return changes


def visit(model, facts, ledger, line, day, on, volumes):
    """R10: each day on which a line runs is a visit, which costs and asks for a smallest volume."""
    of = facts.lines[line]
    if not of["visit"] and not of["least_visit"]:
        return
    comes = model.new_bool_var(f"line {line} comes on {day}")
    for is_on in on:
        model.add_implication(is_on, comes)
    ledger.pay(of["visit"], comes)
    model.add(sum(volumes) >= of["least_visit"]).only_enforce_if(comes)
