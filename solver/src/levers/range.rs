//! From plans and bounds to what each lever adds.

use cellarwright_model::case::{Case, Cost};
use cellarwright_model::lever::Lever;
use cellarwright_model::units::Money;

use super::job::Tried;
use super::{Gain, Pair, Solved, State};

/// Everything that was tried.
pub struct Found<'a> {
    /// The case as it is.
    pub case: &'a Case,
    /// Its plan and bound.
    pub base: Tried,
    /// Levers one by one.
    pub singles: Vec<Tried>,
    /// Pairs of them.
    pub pairs: Vec<Tried>,
    /// A gain up to this is none.
    pub nothing: i64,
}

impl Found<'_> {
    /// What is known of the case as it is, of each lever and of each pair.
    pub fn settled(mut self) -> (Solved, Vec<Gain>, Vec<Pair>) {
        self.share_plans();
        self.share_bounds();
        let base = self.base.best.map_or(NOTHING_KNOWN, |best| Solved { bound: self.base.bound, ..best });
        let gains = self.singles.iter().map(|tried| self.gain(tried)).collect();
        let pairs = self.pairs.iter().map(|tried| self.pair(tried)).collect();
        (base, gains, pairs)
    }

    /// Tries the plans of the levers without them, then the best plan without with each lever, and those of the levers in their pairs.
    fn share_plans(&mut self) {
        for single in &self.singles {
            improve(&mut self.base, single);
        }
        for single in &mut self.singles {
            improve(single, &self.base);
        }
        for pair in &mut self.pairs {
            improve(pair, &self.base);
            for single in &self.singles {
                if pair.levers.contains(&single.levers[0]) {
                    improve(pair, single);
                }
            }
        }
        // Where a lever never hurts, what is found without it holds with it.
        for pair in &mut self.pairs {
            for single in &self.singles {
                if let Some(other) = other_of(pair, single)
                    && other.never_hurts(self.case)
                    && let Some(best) = single.best
                    && pair.objective().is_none_or(|objective| objective < best.objective)
                {
                    pair.best = Some(Solved { bound: pair.bound, is_complete: false, ..best });
                }
            }
        }
    }

    /// Where a lever never hurts, a bound with it is one without it.
    fn share_bounds(&mut self) {
        for pair in &self.pairs {
            for single in &mut self.singles {
                if other_of(pair, single).is_some_and(|other| other.never_hurts(self.case)) {
                    single.bound = single.bound.into_iter().chain(pair.bound).min();
                }
            }
        }
        for single in &self.singles {
            if single.levers[0].never_hurts(self.case) {
                self.base.bound = self.base.bound.into_iter().chain(single.bound).min();
            }
        }
    }

    fn gain(&self, tried: &Tried) -> Gain {
        let never_hurts = tried.levers.iter().all(|lever| lever.never_hurts(self.case));
        let less = |one: Option<i64>, other: Option<i64>| one.zip(other).map(|(one, other)| one - other);
        let least = never_hurts.then_some(0);
        let high = less(tried.bound, self.base.objective());
        // Plan and bound of two cases meet only to the tolerance of a search.
        let high = high.into_iter().map(|high| least.map_or(high, |least| high.max(least))).next();
        let low = less(tried.objective(), self.base.bound);
        let low = low.into_iter().chain(least).max();
        let low = low.map(|low| high.map_or(low, |high| low.min(high)));
        let found = less(tried.objective(), self.base.objective());
        let within = |found: i64| {
            let found = low.map_or(found, |low| found.max(low));
            high.map_or(found, |high| found.min(high))
        };
        let found = found.map(within);
        let is_nothing = high.is_some_and(|high| high <= self.nothing);
        let state = match (&tried.best, is_nothing) {
            (_, true) => State::Nothing,
            _ if tried.failure.is_some() => State::Failed,
            (None, _) => State::NotTried,
            (Some(best), _) if best.is_complete => State::Solved,
            (Some(_), _) => State::Cut,
        };
        let plans = tried.best.zip(self.base.best);
        let costs: Vec<Cost> = tried.levers.iter().map(|lever| lever.price(self.case)).collect();
        // Of a pair nothing is said unless the cost of both is known.
        let is_known = costs.iter().all(|cost| cost.once.is_some() || cost.a_week.is_some());
        let sum = |part: fn(&Cost) -> Option<Money>| {
            costs.iter().filter_map(part).reduce(|one, other| one + other).filter(|_| is_known)
        };
        Gain {
            levers: tried.levers.clone(),
            state,
            failure: tried.failure.clone(),
            low,
            high,
            found,
            volume: plans.map(|(with, without)| with.volume - without.volume),
            contribution: plans.map(|(with, without)| with.contribution - without.contribution),
            never_hurts,
            price: sum(|cost| cost.once),
            costs_a_week: sum(|cost| cost.a_week),
        }
    }

    /// With 0 for the case as it is, a and b for its parts: (ab - 0) - (a - 0) - (b - 0) = ab + 0 - a - b.
    fn pair(&self, tried: &Tried) -> Pair {
        let part = |lever: &Lever| self.singles.iter().find(|single| single.levers == [*lever]);
        let parts: Vec<&Tried> = tried.levers.iter().filter_map(part).collect();
        let sum =
            |value: &dyn Fn(&Tried) -> Option<i64>| parts.iter().map(|part| value(part)).sum::<Option<i64>>();
        let plans = tried.objective().zip(self.base.objective()).map(|(pair, base)| pair + base);
        let bounds = tried.bound.zip(self.base.bound).map(|(pair, base)| pair + base);
        let beyond_low = plans.zip(sum(&|part| part.bound)).map(|(plans, parts)| plans - parts);
        let beyond_high = bounds.zip(sum(&Tried::objective)).map(|(bounds, parts)| bounds - parts);
        Pair { gain: self.gain(tried), beyond_low, beyond_high }
    }
}

/// Of a case for which there was no plan.
const NOTHING_KNOWN: Solved = Solved {
    objective: 0,
    bound: None,
    volume: cellarwright_model::units::Volume::ZERO,
    contribution: cellarwright_model::units::Money::ZERO,
    is_complete: false,
};

/// Takes the plan of another case where it is better than its own.
fn improve(tried: &mut Tried, other: &Tried) {
    let Some(found) = tried.with_plan_of(other) else { return };
    if tried.objective().is_none_or(|objective| found.objective > objective) {
        let is_complete = tried.best.is_some_and(|best| best.is_complete);
        tried.best = Some(Solved { bound: tried.bound, is_complete, ..found });
        tried.again = other.again.clone();
    }
}

/// The other lever of a pair that a single one is part of.
fn other_of(pair: &Tried, single: &Tried) -> Option<Lever> {
    match pair.levers.as_slice() {
        [one, other] if single.levers == [*one] => Some(*other),
        [one, other] if single.levers == [*other] => Some(*one),
        _ => None,
    }
}

/// Pairs among so many levers, and how many pairs there are in all. Vessels come first, for they wait for each other; then what is found to add most, or may.
pub fn pairs(case: &Case, base: &Tried, singles: &[Tried], most: usize) -> (Vec<Vec<Lever>>, usize) {
    let mut order: Vec<usize> = (0..singles.len()).collect();
    let known = |value: Option<i64>| value.unwrap_or(i64::MIN);
    order.sort_by_key(|&place| {
        let tried = &singles[place];
        let gain = known(tried.objective()).max(known(base.objective()));
        let rank =
            (!tried.levers[0].adds_vessel(), std::cmp::Reverse(gain), std::cmp::Reverse(known(tried.bound)));
        (rank, place)
    });
    order.truncate(most);
    order.sort_unstable();
    let mut chosen = Vec::new();
    for (position, &one) in order.iter().enumerate() {
        for &other in &order[position + 1..] {
            let pair = vec![singles[one].levers[0], singles[other].levers[0]];
            if cellarwright_model::lever::with(case, &pair).is_some() {
                chosen.push(pair);
            }
        }
    }
    (chosen, singles.len() * singles.len().saturating_sub(1) / 2)
}
