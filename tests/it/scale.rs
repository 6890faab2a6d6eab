//! The cases of `cases/scale`: committed as the generator writes them, read without an error, with the demand that they state.

use cellarwright_model::case::Case;
use cellarwright_model::finding::Severity;
use cellarwright_model::yaml::read_case;
use cellarwright_tests::scale::{SEEDS, SIZES, Size, files, folder};

/// All pairs of a size and a seed.
fn each() -> impl Iterator<Item = (&'static Size, u64)> {
    SIZES.into_iter().flat_map(|size| SEEDS.map(move |seed| (size, seed)))
}

fn read(size: &Size, seed: u64, name: &str) -> Case {
    let path = folder(size, seed).join(name);
    let outcome = read_case(&path);
    let errors: Vec<_> =
        outcome.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{}: {errors:?}", path.display());
    outcome.case.expect("a case")
}

#[test]
fn committed_files_of_scale_cases_are_those_of_the_generator() {
    for (size, seed) in each() {
        for file in files(size, seed) {
            let path = folder(size, seed).join(file.name);
            let committed = std::fs::read(&path).unwrap_or_default();
            assert!(
                committed == file.text.as_bytes(),
                "{} differs: run `cargo run --release -p cellarwright-tests --example make_scale`",
                path.display()
            );
        }
    }
}

#[test]
fn neighbouring_seeds_give_different_breweries() {
    for size in SIZES {
        let (first, second) = (files(size, 1), files(size, 2));
        for (one, other) in first.iter().zip(&second) {
            assert_ne!(one.text, other.text, "{} {}", size.name, one.name);
        }
    }
}

#[test]
fn both_brew_plans_of_scale_cases_are_read_and_differ_in_the_horizon_alone() {
    for (size, seed) in each() {
        let (week, mut all) = (read(size, seed, "next-week.yaml"), read(size, seed, "all-weeks.yaml"));
        let weeks = size.weeks as usize * 7;
        assert_eq!((week.calendar.planned_days, week.calendar.look_ahead_days), (7, weeks - 7));
        assert_eq!((all.calendar.planned_days, all.calendar.look_ahead_days), (weeks, 0));
        all.calendar.planned_days = 7;
        all.calendar.look_ahead_days = weeks - 7;
        all.name.clone_from(&week.name);
        assert_eq!(format!("{week:?}"), format!("{all:?}"), "{} {seed}", size.name);
    }
}

#[test]
fn scale_cases_have_the_vessels_beers_and_lines_of_their_size() {
    let expected = [
        ("brewpub", 6, 2, 4, 2),
        ("town", 12, 4, 8, 2),
        ("regional", 32, 10, 16, 3),
        ("large", 58, 20, 30, 3),
        ("published", 30, 12, 16, 5),
    ];
    for (size, seed) in each() {
        let case = read(size, seed, "next-week.yaml");
        let fermenters = case.vessels.iter().filter(|vessel| vessel.uses.ferment).count();
        let brights = case.vessels.iter().filter(|vessel| vessel.is_bright_only()).count();
        let found = (size.name, fermenters, brights, case.beers.len(), case.lines.len());
        assert!(expected.contains(&found), "{found:?}");
        let products: usize = case.beers.iter().map(|beer| beer.packaged.len()).sum();
        assert!(size.name != "published" || products == 40, "{products}");
        // Four fifths of the tanks are full, to the nearest tank of each kind.
        let share = case.in_tank.len() * 100 / case.vessels.len();
        assert!((75..=88).contains(&share), "{} {seed}: {share} %", size.name);
        assert!(case.beers.iter().all(|beer| (10..=24).contains(&beer.stay_days())));
        assert!(case.beers.iter().any(|beer| beer.direct) && case.beers.iter().all(|beer| beer.bright));
    }
}

/// Reckoned from the case alone, with floating point: fermenters full again and again, for the mean stay of what is ordered and
/// two days, less its tank loss and 3 %.
#[test]
fn demand_of_scale_cases_is_near_what_the_fermenters_can_make() {
    for (size, seed) in each() {
        let case = read(size, seed, "next-week.yaml");
        let ordered: i64 = case.orders.iter().map(|order| order.quantity.0).sum();
        let stock: i64 = case.stock.iter().map(|stock| stock.quantity.0).sum();
        let mean = |value: &dyn Fn(usize) -> f64| {
            let parts = case.orders.iter().map(|order| order.quantity.0 as f64 * value(order.beer.0));
            parts.sum::<f64>() / ordered as f64
        };
        let stay = mean(&|beer| case.beers[beer].stay_days() as f64) + 2.0;
        let loss = mean(&|beer| case.beers[beer].loss_tank.0 as f64 / 1e6) + 0.03;
        let holds: i64 =
            case.vessels.iter().filter(|vessel| vessel.uses.ferment).map(|vessel| vessel.holds.0).sum();
        let made = holds as f64 * (size.weeks * 7) as f64 / stay * (1.0 - loss);
        let share = (ordered - stock) as f64 / made;
        println!("{} {seed}: {:.1} %", size.name, share * 100.0);
        assert!((0.94..=1.06).contains(&share), "{} {seed}: {share}", size.name);
    }
}
