"""The whole job as a CP-SAT model, and its solution."""

from ortools.sat.python import cp_model

from batches import make_batches
from cleaning import clean_fermenters
from drawing import draw_from_batches, draw_from_lots
from ends import value_output, value_surplus_and_tanks
from facts import Facts
from features import refuse_what_is_not_stated
from goods import Goods, warm_store
from leaving import Leaving
from ledger import Ledger
from lines import run_lines
from lots import keep_apart, make_lots
from materials import order_materials
from moving import move
from outages import people_of_outages
from pins import keep_pins

# How much of a model goes into the linear relaxation, search by search.
SEARCHES = (2, 1, 2)


class Job:
    """A case and its model."""

    def __init__(self, case):
        refuse_what_is_not_stated(case)
        self.facts = facts = Facts(case)
        self.model = model = cp_model.CpModel()
        self.ledger = ledger = Ledger(model, facts)
        batches = make_batches(model, facts, ledger)
        leavings = [Leaving(model, facts, batch) for batch in batches]
        for leaving in leavings:
            leaving.charge(model, facts, ledger)
        lots = make_lots(model, facts, ledger)
        pending = move(model, facts, ledger, leavings, lots)
        cleans = clean_fermenters(model, facts, ledger, batches)
        keep_apart(model, facts, lots)
        sources = draw_from_lots(model, facts, lots) + draw_from_batches(model, facts, ledger, leavings)
        packaged = run_lines(model, facts, ledger, sources)
        warm_store(model, facts, packaged)
        order_materials(model, facts, ledger, packaged)
        people_of_outages(facts, ledger)
        keep_pins(model, facts, batches, leavings, lots, cleans, sources, packaged)
        if facts.is_orders:
            goods = Goods(model, facts, ledger, packaged)
            value_surplus_and_tanks(model, facts, ledger, goods, leavings, pending, sources)
        else:
            value_output(model, facts, ledger, packaged)
        ledger.close()
        model.maximize(ledger.objective())

    def prove(self, effort, seconds):
        """Solves to a proven optimum: one search after another, each with its own settings and the same effort.

        The effort is in the deterministic time of CP-SAT, so that a busy machine does not change what is found. The gap may be a fifth
        of a cent (with `aim: output` a millilitre): volumes are whole millilitres, and proving the last of them is not worth it.
        """
        best = None
        for seed, linearization in enumerate(SEARCHES):
            solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            solver.parameters.random_seed = seed
            solver.parameters.linearization_level = linearization
            solver.parameters.max_deterministic_time = effort
            solver.parameters.max_time_in_seconds = seconds
            solver.parameters.absolute_gap_limit = self.facts.cent * (0.2 if self.facts.is_orders else 100)
            found = self.result(solver, solver.solve(self.model))
            if found["status"] in ("optimal", "infeasible"):
                return found
            best = found if best is None else self.better(best, found)
        return best

    @staticmethod
    def better(one, other):
        """The better plan and the better bound of two searches."""
        plans = [found["objective"] for found in (one, other) if found["objective"] is not None]
        return {
            "status": "feasible" if plans else "unknown",
            "objective": max(plans, default=None),
            "bound": min(one["bound"], other["bound"]),
            "seconds": one["seconds"] + other["seconds"],
        }

    def result(self, solver, status):
        """Status, objective and bound in cents (or hundredths of a millilitre), seconds."""
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return {
            "status": solver.status_name(status).lower(),
            "objective": solver.objective_value / self.facts.cent if found else None,
            "bound": solver.best_objective_bound / self.facts.cent if status != cp_model.INFEASIBLE else None,
            "seconds": solver.wall_time,
        }
