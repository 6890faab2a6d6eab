//! The hand-made cases side by side: reading and checking the input, then planning to a proven 0.5 % with two threads for five seeds.

use std::path::Path;
use std::time::Instant;

use cellarwright_model::yaml::read_case;
use cellarwright_solver::{NoObserver, Options, solve};

use crate::memory::peak_megabytes;

const CASES: [&str; 4] = ["fennick-wharf", "fennick-wharf-in-full", "brewpub", "brewpub-bright"];
const SEEDS: i32 = 5;

/// Measures all cases and prints a line for each.
pub fn print() {
    println!(
        "{:<22} {:>9} {:>7} {:>8} {:>9} {:>26} {:>9} {:>8}",
        "case",
        "read ms",
        "rows",
        "columns",
        "nonzeros",
        "seconds: least median most",
        "worst gap",
        "peak MB"
    );
    for name in CASES {
        measure(name);
    }
}

fn measure(name: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").join(name).join("brewplan.yaml");
    let (reading, case) = read(&path);
    let Some(case) = case else {
        println!("{name:<22} cannot be read");
        return;
    };
    let mut seconds = Vec::new();
    let mut worst = 0.0_f64;
    let mut size = cellarwright_solver::Size::default();
    for seed in 0..SEEDS {
        let options = Options { seed, ..Options::default() };
        match solve(&case, &options, &NoObserver) {
            Ok(answer) => {
                seconds.push(answer.seconds);
                worst = worst.max(answer.gap);
                size = answer.size;
            }
            Err(error) => println!("{name}, seed {seed}: {error}"),
        }
    }
    seconds.sort_by(f64::total_cmp);
    let (Some(least), Some(most)) = (seconds.first(), seconds.last()) else { return };
    let spread = format!("{least:.1} {:.1} {most:.1}", seconds[seconds.len() / 2]);
    println!(
        "{name:<22} {reading:>9.1} {:>7} {:>8} {:>9} {spread:>26} {:>7.2} % {:>8}",
        size.rows,
        size.columns,
        size.nonzeros,
        worst * 100.0,
        peak_megabytes().map_or("-".to_owned(), |peak| peak.to_string()),
    );
}

/// Milliseconds of the quickest of five readings, and the case.
fn read(path: &Path) -> (f64, Option<cellarwright_model::case::Case>) {
    let mut quickest = f64::INFINITY;
    let mut case = None;
    for _ in 0..5 {
        let started = Instant::now();
        case = read_case(path).case;
        quickest = quickest.min(started.elapsed().as_secs_f64() * 1_000.0);
    }
    (quickest, case)
}
