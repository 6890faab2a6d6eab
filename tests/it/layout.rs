//! What to buy for a demand: cases that are worked by hand beside their files.

use std::path::{Path, PathBuf};

use cellarwright_model::case::{Case, Change, Further, Purchase};
use cellarwright_model::units::{Area, Money, Share};
use cellarwright_model::yaml::{With, read_case_in};
use cellarwright_solver::layout::{Bought, Cheapest, Family, Laid, Outcome, Resource, a_year, lay_out};
use cellarwright_solver::{NoObserver, Options};
use cellarwright_tests::small::{hl, money};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name)
}

fn read(name: &str, change: Option<&str>) -> Case {
    let change = change.map(|change| folder(name).join(change).display().to_string());
    let with = change.as_deref().map_or(With::Nothing, With::Change);
    let outcome = read_case_in(&folder(name).join("brewplan.yaml"), with, None);
    outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings))
}

fn laid(case: &Case, weeks: usize) -> Laid {
    let options = Options { seconds: 240.0, gap: 0.0, threads: 2, seed: 0 };
    lay_out(case, weeks, &options, &NoObserver).expect("an answer")
}

fn of(laid: &Laid, family: Family) -> &Outcome {
    &laid.families.iter().find(|(other, _)| *other == family).expect("all families").1
}

fn met(outcome: &Outcome) -> &Cheapest {
    match outcome {
        Outcome::Met(cheapest) => cheapest,
        other => panic!("{other:?}"),
    }
}

fn names(case: &Case, bought: &Bought) -> Vec<String> {
    let layout = case.layout.as_ref().expect("a layout");
    let taken = layout.vessels.iter().zip(&bought.vessels);
    let names = taken.flat_map(|(offer, &count)| {
        offer.vessels[..usize::try_from(count).unwrap_or(0)].iter().map(|vessel| vessel.name.clone())
    });
    names.collect()
}

const CHOICE: &str = "tiny/fermenter-or-bright";
/// Wort, gas, cleaning and labour of 156 batches by the direct way (see the case).
const DIRECT_RUNNING: i64 = 52 * 3 * 224;
/// The bright way costs so much more a batch.
const BRIGHT_MORE: i64 = 12;

/// The cheapest of a case is what was worked out by hand beside it: names, cost, and the bound is the cost.
fn assert_cheapest(change: Option<&str>, expected: &[&str], a_year: i64, bright_batches: i64) {
    let case = read(CHOICE, change);
    let laid = laid(&case, 1);
    let cheapest = met(of(&laid, Family::Any));
    assert_eq!(names(&case, &cheapest.bought), expected, "{change:?}");
    let running = money(DIRECT_RUNNING + 52 * bright_batches * BRIGHT_MORE);
    assert_eq!(cheapest.built.running, running, "{change:?}");
    assert_eq!(cheapest.cost, money(a_year) + running, "{change:?}");
    assert!(cheapest.cost.0 - cheapest.bound.0 <= 2 && cheapest.bound <= cheapest.cost, "{cheapest:?}");
    assert!(cheapest.is_complete && cheapest.confirmed, "{cheapest:?}");
    // Weeks of any number, taken in fractions, are never dearer than one week that repeats.
    assert!(laid.for_ever.is_some_and(|bound| bound <= cheapest.cost && bound > Money::ZERO));
}

#[test]
fn with_one_shift_and_cheap_bright_tanks_two_of_them_are_cheapest() {
    assert_cheapest(None, &["B1", "B2"], 1_200, 3);
}

#[test]
fn the_answer_turns_to_a_fermenter_with_the_shift_of_the_packers() {
    assert_cheapest(Some("late-packers.yaml"), &["N1"], 2_000, 0);
}

#[test]
fn the_answer_turns_to_fermenters_with_the_price_of_a_bright_tank() {
    assert_cheapest(Some("dear-bright-tanks.yaml"), &["N1", "N2"], 4_000, 0);
}

#[test]
fn the_answer_turns_to_fermenters_with_the_number_of_brewers() {
    assert_cheapest(Some("one-brewer.yaml"), &["N1", "N2"], 4_000, 0);
}

#[test]
fn the_answer_turns_to_a_fermenter_with_the_days_that_a_bright_tank_saves() {
    assert_cheapest(Some("carbonated-while-chilling.yaml"), &["N1"], 2_000, 0);
}

/// check-values T7.7: d is the carbonating, the wait for the line and the packaging less the difference in turnaround. Direct: carbonated on the ready day,
/// packaged on the next, cleaned on the day after: 1 + 0 + 1 = 2 days. By a bright tank the fermenter is filled again on the ready day: 0. The cleaning
/// of the batch before and its last transfer are in the slot of the fill, and belong to the batch before.
#[test]
fn fermenter_days_that_a_bright_tank_saves_are_counted_from_the_plans() {
    let days = |change: Option<&str>, family: Family| {
        let case = read(CHOICE, change);
        let laid = laid(&case, 1);
        let built = &met(of(&laid, family)).built;
        let fills: i64 = built.seasons.iter().map(|season| season.bright_fills).sum();
        let after = built.after;
        assert_eq!(after.batches, 3, "{after:?}");
        (after.waiting, after.leaving, after.turnaround, fills)
    };
    assert_eq!(days(None, Family::Direct), (3, 0, 3, 0));
    assert_eq!(days(None, Family::Bright), (0, 0, 0, 3));
    // Carbonated the day before it is ready: no wait.
    assert_eq!(days(Some("carbonated-while-chilling.yaml"), Family::Direct), (0, 0, 3, 0));
}

/// Families of the same case: two fermenters for direct alone (worked by hand in the case), two bright tanks for bright alone, and no vessel for the third.
#[test]
fn each_family_has_its_own_cheapest() {
    let case = read(CHOICE, None);
    let laid = laid(&case, 1);
    let direct = met(of(&laid, Family::Direct));
    assert_eq!(names(&case, &direct.bought), ["N1", "N2"]);
    assert_eq!(direct.cost, money(4_000 + DIRECT_RUNNING));
    let bright = met(of(&laid, Family::Bright));
    assert_eq!(names(&case, &bright.bought), ["B1", "B2"]);
    assert_eq!(of(&laid, Family::Doubling), &Outcome::Excluded(Vec::new()));
}

/// Nothing bought: two batches by the direct way (one of Monday's and one of Wednesday's, 18 of 21 vessel-days). Two bright tanks (1200): three batches, each fermenter one.
/// With one fermenter (3200) four, with two (5200) five: the two bright tanks fill in turn, one on each of the five days, and the brewhouse makes five turns.
#[test]
fn the_frontier_is_every_layout_that_none_beats_in_money_and_output() {
    let case = read(CHOICE, None);
    let frontier = laid(&case, 1).frontier;
    assert!(frontier.is_complete, "{frontier:?}");
    let found: Vec<(Vec<String>, i64, i64)> = frontier
        .points
        .iter()
        .map(|point| {
            let largest = &point.largest;
            assert!(largest.confirmed && largest.built.is_some(), "{point:?}");
            assert!(largest.bound - largest.share < 1e-3, "{point:?}");
            assert!(point.least <= point.a_year && point.a_year.0 - point.least.0 <= 2, "{point:?}");
            let thirds = (largest.share * 3.0).round();
            assert!((largest.share * 3.0 - thirds).abs() < 1e-3, "{point:?}");
            (names(&case, &largest.bought), point.a_year.0 / 100, thirds as i64)
        })
        .collect();
    let expected: [(&[&str], i64, i64); 4] = [
        (&[], 0, 2),
        (&["B1", "B2"], 1_200, 3),
        (&["N1", "B1", "B2"], 3_200, 4),
        (&["N1", "N2", "B1", "B2"], 5_200, 5),
    ];
    let expected: Vec<(Vec<String>, i64, i64)> = expected
        .iter()
        .map(|&(names, a_year, thirds)| (names.iter().map(|&name| name.to_owned()).collect(), a_year, thirds))
        .collect();
    assert_eq!(found, expected);
    let most = frontier.most.expect("the most");
    assert!((most.share * 3.0 - 5.0).abs() < 1e-3);
}

/// A limit of prices: for 30 000 two bright tanks (24 000) can be bought, and no fermenter (40 000).
#[test]
fn the_most_for_a_budget_keeps_to_it() {
    let mut case = read(CHOICE, None);
    case.layout.as_mut().expect("a layout").limits.price = Some(money(30_000));
    let laid = laid(&case, 1);
    let most = laid.frontier.most.as_ref().expect("the most");
    assert_eq!(names(&case, &most.bought), ["B1", "B2"]);
    assert!((most.share - 1.0).abs() < 1e-4 && most.bound < 1.001, "{most:?}");
    // Direct alone needs two fermenters.
    assert!(matches!(of(&laid, Family::Direct), Outcome::NotMet { .. }));
}

/// Thirty weeks of two batches, by the direct way at 224 each, and 22 of three: two bright tanks carry the peak and stand idle outside of it.
#[test]
fn each_season_is_a_week_of_its_own_and_the_purchase_is_shared() {
    let mut case = read(CHOICE, None);
    let layout = case.layout.as_mut().expect("a layout");
    let mut low = layout.seasons[0].clone();
    (low.name, low.weeks, low.demand[0].a_week) = ("winter".to_owned(), 30, hl(20));
    (layout.seasons[0].name, layout.seasons[0].weeks) = ("summer".to_owned(), 22);
    layout.seasons.insert(0, low);
    let laid = laid(&case, 1);
    let cheapest = met(of(&laid, Family::Any));
    assert_eq!(names(&case, &cheapest.bought), ["B1", "B2"]);
    let weeks: Vec<Money> = cheapest.built.seasons.iter().map(|season| season.a_week).collect();
    assert_eq!(weeks, [money(2 * 224), money(3 * (224 + BRIGHT_MORE))]);
    assert_eq!(cheapest.built.running, money(30 * 448 + 22 * 708));
    assert!(cheapest.confirmed && cheapest.cost.0 - cheapest.bound.0 <= 2, "{cheapest:?}");
}

/// A late shift of the packers for 300 a year makes one fermenter enough (as in `late-packers.yaml`): 2300 for 3072.
#[test]
fn a_further_shift_is_bought_where_it_is_cheaper_than_tanks() {
    let mut case = read(CHOICE, None);
    let crew = case.crew_ids().find(|&crew| case.crew(crew).name == "packers").expect("packers");
    let purchase = Purchase { price: Money::ZERO, life: 1, yearly: money(300), floor: Area::ZERO };
    let change = Change::Shift { crew, shift: 1, people: 2 };
    let further = Further { name: "a late shift".to_owned(), change, at_most: 1, purchase };
    case.layout.as_mut().expect("a layout").further.push(further);
    let laid = laid(&case, 1);
    let cheapest = met(of(&laid, Family::Any));
    assert_eq!((names(&case, &cheapest.bought), &cheapest.bought.further), (vec!["N1".to_owned()], &vec![1]));
    assert_eq!(cheapest.cost, money(2_300 + DIRECT_RUNNING));
    assert!(cheapest.confirmed && cheapest.cost.0 - cheapest.bound.0 <= 2, "{cheapest:?}");
}

fn not_met(case: &Case, weeks: usize) -> (f64, f64, Vec<(Vec<Resource>, f64)>) {
    let laid = laid(case, weeks);
    let Outcome::NotMet { largest, forbids, tried_all } = of(&laid, Family::Any) else {
        panic!("{laid:?}");
    };
    assert!(*tried_all && largest.confirmed && largest.built.is_some(), "{largest:?}");
    let freed = forbids.iter().map(|freed| (freed.resources.clone(), freed.share)).collect();
    (largest.share, largest.bound, freed)
}

/// Five turns a week for six batches: 5/6, and only more turns let more be met.
#[test]
fn the_brewhouse_forbids_the_sixth_batch_whatever_is_bought() {
    let (share, bound, freed) = not_met(&read(CHOICE, Some("six-batches.yaml")), 1);
    assert!((share - 5.0 / 6.0).abs() < 1e-4 && bound - share < 2e-4, "{share} {bound}");
    let resources: Vec<&Vec<Resource>> = freed.iter().map(|(resources, _)| resources).collect();
    assert_eq!(resources, [&vec![Resource::Brewhouse]]);
    assert!(freed[0].1 >= 1.0 - 1e-4, "{freed:?}");
}

/// A client's demand that the layout cannot meet (worked by hand in the case): two of three batches in a week that repeats, five of six in two, and it is the
/// bright tank that forbids more.
#[test]
fn the_bright_tank_forbids_what_a_client_asks_for() {
    let case = read("growth/clients-demand", None);
    for (weeks, expected) in [(1, 2.0 / 3.0), (2, 5.0 / 6.0)] {
        let (share, bound, freed) = not_met(&case, weeks);
        assert!((share - expected).abs() < 1e-4 && bound - share < 2e-4, "{weeks}: {share} {bound}");
        assert_eq!(freed.len(), 1, "{freed:?}");
        assert_eq!(freed[0].0, [Resource::Vessels(vec!["B1".to_owned()])]);
        // With plenty of bright tanks three fermenters give three batches a week, or a little more where beer waits less over the weekend.
        assert!(freed[0].1 >= 1.0 - 1e-4, "{freed:?}");
    }
}

/// Without interest the price over the life; with 5 % 537.80 a year pays 1000 off in two years: (1000 x 1.05 - 537.80) x 1.05 = 537.81.
#[test]
fn a_year_of_a_purchase_pays_it_off_over_its_life() {
    let purchase = Purchase { price: money(1_000), life: 2, yearly: money(30), floor: Area::ZERO };
    assert_eq!(a_year(&purchase, Share::ZERO), money(530));
    assert_eq!(a_year(&purchase, Share(50_000)), Money(53_780 + 3_000));
}
