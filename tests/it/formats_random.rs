//! Changes of format by pair on random cases: the program finds what trying everything finds.

use std::collections::{BTreeMap, BTreeSet};

use cellarwright_model::case::{Aim, Case, FormatPair, Order, Packaged};
use cellarwright_model::ids::{FormatId, LineId};
use cellarwright_model::plan::{Plan, Work};
use cellarwright_model::units::Minutes;
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::brute::best_plan;
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{hl, money};

use crate::oracle::{compare, exact};

/// Cases that must be compared.
const CASES: usize = 80;
/// Of these, cases whose best plan runs several formats in one shift.
const LEAST_USED: usize = 8;
/// States that the brute force looks at before a case is passed over as too big.
const STATES: usize = 2_000;

/// A random case whose first line has two formats, with changes between them by pair and orders for both.
pub(crate) fn with_pairs(seed: u64) -> Case {
    let mut made = make(seed).case;
    let mut random = Random::new(seed + 4_711);
    let of_line: Vec<FormatId> =
        (0..made.formats.len()).map(FormatId).filter(|&id| made.format(id).line == LineId(0)).collect();
    let first = of_line[0];
    let second = of_line.get(1).copied().unwrap_or_else(|| {
        let mut format = made.format(first).clone();
        format.name = "another format".into();
        made.formats.push(format);
        FormatId(made.formats.len() - 1)
    });
    for (from, to) in [(first, second), (second, first)] {
        if random.percent(75) || to == first && made.lines[0].format_pairs.is_empty() {
            let takes = (!random.percent(35)).then(|| Minutes(10 * random.between(0, 12) + 3));
            made.lines[0].format_pairs.push(FormatPair { from, to, takes });
        }
    }
    for one in &mut made.beers {
        if one.contribution(second).is_none() && one.contribution(first).is_some() {
            let contribution = money(random.between(80, 200));
            one.packaged.push(Packaged { format: second, contribution });
        }
    }
    if made.aim == Aim::Orders
        && let Some(order) = made.orders.first().cloned()
    {
        made.orders.clear();
        for beer in made.beer_ids() {
            for format in [first, second] {
                if made.beer(beer).contribution(format).is_some() {
                    let quantity = hl(random.between(3, 9));
                    made.orders.push(Order { beer, format, quantity, whole: false, ..order.clone() });
                }
            }
        }
    }
    made
}

/// Whether a line runs in several formats in one shift.
fn changes_format(plan: &Plan) -> bool {
    let mut formats: BTreeMap<_, BTreeSet<FormatId>> = BTreeMap::new();
    for task in &plan.tasks {
        if let Work::Package { line, format, .. } = task.work {
            formats.entry((task.slot, line)).or_default().insert(format);
        }
    }
    formats.values().any(|formats| formats.len() > 1)
}

#[test]
fn the_program_finds_the_best_order_of_formats_of_whole_weeks() {
    let mut wrong = Vec::new();
    let (mut compared, mut used, mut seed) = (0, 0, 0);
    while compared < CASES {
        let made = with_pairs(seed);
        if let Some(brute) = best_plan(&made, STATES) {
            match solve(&made, &exact(), &NoObserver) {
                Ok(answer) => {
                    wrong.extend(compare(seed, &made, &brute, &answer));
                    compared += 1;
                    used += usize::from(changes_format(&brute.plan));
                }
                Err(error) => wrong.push(format!("seed {seed}: {error} {error:?}")),
            }
        }
        seed += 1;
        assert!(seed < 8 * CASES as u64, "too many cases are too big");
    }
    assert!(wrong.is_empty(), "{} disagreements:\n{}", wrong.len(), wrong.join("\n"));
    assert!(used >= LEAST_USED, "several formats in one shift in {used} of {compared} best plans");
}
