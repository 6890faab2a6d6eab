//! The cases of `cases/scale`: for each size medians over its seeds, beside HiGHS as it comes with the same program and time,
//! and CP-SAT with the referee's formulation.

use std::collections::BTreeSet;
use std::path::PathBuf;

use cellarwright_tests::scale::{SEEDS, SIZES, Size, folder};

use crate::carry_on::{Carried, carry_on};
use crate::child::{self, Measured, Way};
use crate::peer::{self, Found};

/// What is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Job {
    /// A week in full, the rest looked ahead to: time to the gap.
    NextWeek,
    /// All weeks in full: gap at a time.
    AllWeeks,
    /// Next week, and then all weeks with that week as it is: what the look-ahead promised, and what was reached.
    CarryOn,
}

impl Job {
    const ALL: [Self; 3] = [Self::NextWeek, Self::AllWeeks, Self::CarryOn];

    fn word(self) -> &'static str {
        match self {
            Self::NextWeek => "next-week",
            Self::AllWeeks => "all-weeks",
            Self::CarryOn => "carry-on",
        }
    }

    /// Seconds for a size: enough to come to the gap, or those after which the gap is read; for each of two plans where a week is carried on.
    fn seconds(self, size: &Size) -> f64 {
        match (self, size.name) {
            (Self::CarryOn | Self::NextWeek, _) | (Self::AllWeeks, "published") => 60.0,
            (Self::AllWeeks, "brewpub") => 1.0,
            (Self::AllWeeks, "town") => 8.0,
            (Self::AllWeeks, "regional") => 40.0,
            (Self::AllWeeks, _) => 150.0,
        }
    }
}

/// What was asked for.
struct Asked {
    sizes: Vec<&'static Size>,
    jobs: Vec<Job>,
    seconds: Option<f64>,
    seeds: usize,
    /// Where HiGHS as it comes writes a log of each solve: presolve, root relaxation, search.
    logs: Option<PathBuf>,
}

fn asked(words: &[&str]) -> Result<Asked, String> {
    let most = SEEDS.count();
    let mut asked =
        Asked { sizes: Vec::new(), jobs: Job::ALL.to_vec(), seconds: None, seeds: most, logs: None };
    let mut words = words.iter();
    while let Some(&word) = words.next() {
        if !word.starts_with("--") {
            let size = SIZES.into_iter().find(|size| size.name == word);
            let names = SIZES.map(|size| size.name).join(", ");
            asked.sizes.push(size.ok_or_else(|| format!("{word}: a size is one of {names}"))?);
            continue;
        }
        let value = *words.next().ok_or_else(|| format!("{word} needs a value"))?;
        match word {
            "--job" => {
                let job = Job::ALL.into_iter().find(|job| job.word() == value);
                asked.jobs =
                    vec![job.ok_or_else(|| format!("{value}: a job is next-week, all-weeks or carry-on"))?];
            }
            "--seconds" => {
                let seconds =
                    value.parse().ok().filter(|&seconds: &f64| seconds > 0.0 && seconds.is_finite());
                asked.seconds = Some(seconds.ok_or_else(|| format!("{value}: seconds above 0"))?);
            }
            "--seeds" => {
                let seeds = value.parse().ok().filter(|seeds| (1..=most).contains(seeds));
                asked.seeds = seeds.ok_or_else(|| format!("{value}: seeds from 1 to {most}"))?;
            }
            "--logs" => asked.logs = Some(PathBuf::from(value)),
            _ => return Err(format!("{word}: use --job, --seconds, --seeds or --logs")),
        }
    }
    if asked.sizes.is_empty() {
        asked.sizes = SIZES.to_vec();
    }
    Ok(asked)
}

/// Measures and prints a line for each job and size.
pub fn print(words: &[&str]) -> Result<(), String> {
    let asked = asked(words)?;
    println!(
        "Medians of {} cases; own: this solver, HiGHS: the same program with HiGHS's own settings.",
        asked.seeds
    );
    println!(
        "Second lines: CP-SAT with the referee's formulation of the same rules and objective, two workers, the same seconds for its search alone."
    );
    println!(
        "All stop at a proven {} %. A time above the limit's is printed as it was; `-`: no plan.",
        child::GAP * 100.0
    );
    println!(
        "{:<10} {:<10} {:>6} {:>7} {:>7} {:>8} {:>8} | {:>5} {:>7} {:>7} {:>7} {:>8} {:>6} | {:>5} {:>9} {:>7} {:>8} {:>6}",
        "job",
        "size",
        "limit",
        "rows",
        "columns",
        "integer",
        "nonzeros",
        "done",
        "bound s",
        "plan s",
        "own s",
        "own gap",
        "MB",
        "done",
        "compile s",
        "HiGHS s",
        "its gap",
        "MB"
    );
    for &job in &asked.jobs {
        for &size in &asked.sizes {
            match job {
                Job::NextWeek | Job::AllWeeks => measure(job, size, &asked),
                Job::CarryOn => carried_on(size, &asked),
            }
        }
    }
    Ok(())
}

fn measure(job: Job, size: &'static Size, asked: &Asked) {
    let seconds = asked.seconds.unwrap_or_else(|| job.seconds(size));
    let run = |way: Way| -> Vec<Measured> {
        let mut all = Vec::new();
        for seed in SEEDS.take(asked.seeds) {
            let path = folder(size, seed).join(format!("{}.yaml", job.word()));
            let name = format!("{}-{}-{seed}.log", job.word(), size.name);
            let log = asked.logs.as_ref().filter(|_| way == Way::AsItComes).map(|folder| folder.join(name));
            match child::start(&path, way, seconds, log.as_deref()) {
                Ok(measured) => all.push(measured),
                Err(message) => println!("{message}"),
            }
        }
        all
    };
    let (own, peer) = (run(Way::Own), run(Way::AsItComes));
    let of = |part: fn(&Measured) -> f64| median(&own, part);
    let its = |part: fn(&Measured) -> f64| median(&peer, part);
    println!(
        "{:<10} {:<10} {seconds:>6} {:>7} {:>7} {:>8} {:>8} | {:>5} {:>7} {:>7} {:>7} {:>8} {:>6} | {:>5} {:>9} {:>7} {:>8} {:>6}",
        job.word(),
        size.name,
        of(|measured| measured.size.rows as f64),
        of(|measured| measured.size.columns as f64),
        of(|measured| measured.size.integers as f64),
        of(|measured| measured.size.nonzeros as f64),
        done(&own, asked.seeds),
        tenths(of(|measured| measured.to_bound)),
        tenths(of(|measured| measured.to_plan)),
        tenths(of(|measured| measured.seconds)),
        percent(of(|measured| measured.gap)),
        of(|measured| measured.peak),
        done(&peer, asked.seeds),
        format!("{:.2}", its(|measured| measured.compile)),
        tenths(its(|measured| measured.seconds)),
        percent(its(|measured| measured.gap)),
        its(|measured| measured.peak),
    );
    let [own, highs] = [&own, &peer].map(|all| {
        let [objective, bound] =
            [median(all, |measured| measured.objective), median(all, |measured| measured.bound)];
        format!("{objective:.0} of at most {bound:.0}")
    });
    cp_sat(job, size, seconds, asked, &format!("own {own}, HiGHS {highs}"));
}

/// What the look-ahead of the first week promised, and what was reached when all weeks were planned in full with that week as it was.
fn carried_on(size: &'static Size, asked: &Asked) {
    let job = Job::CarryOn;
    let seconds = asked.seconds.unwrap_or_else(|| job.seconds(size));
    let mut all = Vec::new();
    for seed in SEEDS.take(asked.seeds) {
        match carry_on(&folder(size, seed).join("all-weeks.yaml"), seconds) {
            Ok(carried) => all.push(carried),
            Err(message) => println!("{message}"),
        }
    }
    let spread = |part: fn(&Carried) -> f64| {
        let [least, most] =
            [f64::min, f64::max].map(|of| all.iter().map(part).reduce(of).unwrap_or(f64::NAN));
        format!("{} to {}, median {}", percent(least), percent(most), percent(median(&all, part)))
    };
    println!(
        "{:<10} {:<10} {seconds:>6} s each: {}/{} carried on to the end; less than promised is reached: {}; proven to be out of reach: {}",
        job.word(),
        size.name,
        all.len(),
        asked.seeds,
        spread(Carried::lost),
        spread(Carried::lost_at_least),
    );
}

/// A second line: CP-SAT with the referee's formulation, two workers and the same seconds for its search.
fn cp_sat(job: Job, size: &Size, seconds: f64, asked: &Asked, objectives: &str) {
    let (mut all, mut versions) = (Vec::new(), BTreeSet::new());
    for seed in SEEDS.take(asked.seeds) {
        let path = folder(size, seed).join(format!("{}.yaml", job.word()));
        match peer::measure(&path, seconds, child::GAP) {
            Ok((found, version)) => {
                all.push(found);
                versions.insert(version);
            }
            Err(message) => {
                println!("{:<10} {:<10} CP-SAT did not run: {message}", job.word(), size.name);
                return;
            }
        }
    }
    let its = |part: fn(&Found) -> f64| median(&all, part);
    let done = all.iter().filter(|found| found.gap() <= child::GAP + 1e-6).count();
    println!(
        "{:<10} {:<10} CP-SAT {}: {} variables, {} constraints, built in {:.1} s; done {done}/{}, plan s {}, s {}, gap {}, bound {:.0}, {} MB; objectives: {objectives}, CP-SAT {:.0}",
        job.word(),
        size.name,
        versions.into_iter().collect::<Vec<_>>().join(", "),
        its(|found| found.variables),
        its(|found| found.constraints),
        its(|found| found.built),
        asked.seeds,
        tenths(its(|found| found.to_plan)),
        tenths(its(|found| found.seconds)),
        percent(its(Found::gap)),
        its(|found| found.bound),
        its(|found| found.peak),
        its(|found| found.objective),
    );
}

/// Solves that came to the gap, of those that were asked for; one that failed counts as not done.
fn done(all: &[Measured], asked: usize) -> String {
    // A hair above: the peer's gap is that of its point, the callback's that of the callback.
    let good = all.iter().filter(|measured| measured.gap <= child::GAP + 1e-6).count();
    format!("{good}/{asked}")
}

/// The middle one, not a number where there is none; of an even number the upper one.
fn median<T>(all: &[T], part: fn(&T) -> f64) -> f64 {
    let mut values: Vec<f64> = all.iter().map(part).collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

fn tenths(seconds: f64) -> String {
    if seconds.is_finite() { format!("{seconds:.1}") } else { "-".to_owned() }
}

fn percent(share: f64) -> String {
    if share.is_finite() { format!("{:.2} %", share * 100.0) } else { "-".to_owned() }
}
