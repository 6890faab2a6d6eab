//! The state on day 0.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::case::{Case, InTank};
use cellarwright_model::money::opening_stay;
use cellarwright_model::plan::Plan;
use cellarwright_model::units::Volume;

use super::{Carbonated, Goods, Holding, Kind, Ledger, WorkDone, YeastBook};

impl<'a> Ledger<'a> {
    /// The cellar as it is on day 0, nothing done yet.
    pub(super) fn start(case: &'a Case, plan: &'a Plan) -> Self {
        let mut ledger = Self {
            case,
            plan,
            holdings: Vec::new(),
            logs: vec![Vec::new(); case.vessels.len()],
            misfits: Vec::new(),
            bad_pours: Vec::new(),
            turns: BTreeMap::new(),
            charges: Vec::new(),
            line_slots: BTreeMap::new(),
            washed: BTreeMap::new(),
            overtime: BTreeMap::new(),
            full_cleans: BTreeSet::new(),
            goods: Goods::default(),
            yeast: YeastBook::default(),
            current: vec![None; case.vessels.len()],
        };
        for in_tank in &case.in_tank {
            ledger.current[in_tank.vessel.0] = Some(ledger.holdings.len());
            ledger.holdings.push(opening(case, in_tank));
        }
        ledger
    }
}

fn opening(case: &Case, in_tank: &InTank) -> Holding {
    let moved = case.was_moved(in_tank);
    let volume = if in_tank.is_bright || moved {
        in_tank.filled
    } else {
        case.beer(in_tank.beer).loss_tank.taken_off(in_tank.filled)
    };
    let carbonated = in_tank.carbonated || in_tank.is_bright;
    Holding {
        vessel: in_tank.vessel,
        beer: in_tank.beer,
        kind: if in_tank.is_bright { Kind::Lot } else { Kind::Batch },
        opening: true,
        moved,
        came_from: None,
        from: None,
        turns: 0,
        part_turns: Vec::new(),
        parts: Vec::new(),
        on: in_tank.on,
        ready: in_tank.ready,
        stay: opening_stay(in_tank),
        filled: in_tank.filled,
        volume,
        left: volume,
        carbonated: if carbonated { Carbonated::Before } else { Carbonated::No },
        moved_carbonated: None,
        direct_loss_taken: false,
        direct_loss: Volume::ZERO,
        generation: case.yeast.in_tank.iter().find(|tank| tank.0 == in_tank.vessel).map(|tank| tank.1),
        work: WorkDone { before: in_tank.work_done.clone(), ..WorkDone::default() },
        outs: Vec::new(),
        emptied: None,
    }
}
