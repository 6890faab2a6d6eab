//! Themes of random cases: each makes one rule or choice matter.

use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Aim, Case, Mix, MixShare, NeverAfter};
use cellarwright_model::ids::{BeerId, VesselId};
use cellarwright_model::units::{Minutes, Pressure};

use crate::random::Random;
use crate::small::{hl, hours, money, percent};

/// What a random case is about, besides everything else.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Theme {
    /// The direct route is open.
    Direct,
    /// There is a bright tank.
    Bright,
    /// Two shifts a day.
    TwoShifts,
    /// Batches of several turns.
    Turns,
    /// Batches over two bright tanks.
    Split,
    /// Batches in stages through a small bright tank.
    Stages,
    /// Waiting is free for a short time only, and dear.
    Waiting,
    /// Beer in tank that is over its limit.
    Over,
    /// Few person-hours.
    Crew,
    /// One cleaning set and long cleans.
    CleaningSets,
    /// Two lines for few people.
    Heads,
    /// Overtime may be worth it.
    Overtime,
    /// A vessel of low pressure.
    Pressure,
    /// Dirty vessels cost.
    Dirty,
    /// Most packaged volume.
    Output,
}

impl Theme {
    /// All themes.
    pub const ALL: [Self; 15] = [
        Self::Direct,
        Self::Bright,
        Self::TwoShifts,
        Self::Turns,
        Self::Split,
        Self::Stages,
        Self::Waiting,
        Self::Over,
        Self::Crew,
        Self::CleaningSets,
        Self::Heads,
        Self::Overtime,
        Self::Pressure,
        Self::Dirty,
        Self::Output,
    ];
}

/// In so many of a hundred cases.
fn chance(theme: Theme) -> i64 {
    match theme {
        Theme::TwoShifts => 40,
        Theme::Overtime => 60,
        Theme::Split => 50,
        Theme::Dirty => 65,
        Theme::Stages => 35,
        Theme::Turns => 30,
        Theme::Direct | Theme::Bright | Theme::Waiting => 27,
        Theme::Output => 28,
        Theme::Over | Theme::Crew | Theme::CleaningSets | Theme::Heads | Theme::Pressure => 18,
    }
}

/// Some themes for one case, in their order; those that seldom show in the best plan take turns.
pub fn draw(seed: u64, random: &mut Random) -> Vec<Theme> {
    let rare = [Theme::Dirty, Theme::Turns, Theme::TwoShifts, Theme::Split];
    let turn = rare[(seed % rare.len() as u64) as usize];
    let mut found: Vec<Theme> =
        Theme::ALL.into_iter().filter(|&theme| random.percent(chance(theme)) || theme == turn).collect();
    // Two lines in two shifts, or a split in stages, are too many choices for a search by brute force.
    if found.contains(&Theme::Heads) {
        found.retain(|&theme| theme != Theme::TwoShifts && theme != Theme::Split);
    }
    if found.contains(&Theme::Stages) {
        found.retain(|&theme| theme != Theme::Split);
    }
    found
}

/// Makes the themes of a case matter.
pub fn sharpen(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    for theme in themes {
        match theme {
            Theme::Direct
            | Theme::Bright
            | Theme::TwoShifts
            | Theme::Turns
            | Theme::Split
            | Theme::Stages => {}
            Theme::Waiting => {
                made.rates.waiting = money(random.between(2, 6));
                for beer in &mut made.beers {
                    beer.may_wait = 0;
                    beer.bright_wait = 1;
                }
            }
            Theme::Over => {
                made.rates.over_limit = money(random.between(5, 40));
            }
            Theme::Crew => {
                for crew in made.crews.iter_mut().filter(|crew| crew.has(Role::Cellar)) {
                    crew.people = 1;
                    crew.hours = hours(random.between(5, 8));
                }
            }
            Theme::CleaningSets => {
                made.cleaning_sets = 1;
                for vessel in &mut made.vessels {
                    vessel.clean.takes = hours(random.between(3, 5));
                }
                for line in &mut made.lines {
                    line.clean_down = hours(random.between(2, 3));
                }
            }
            Theme::Heads => {
                let people: i64 = made.lines.iter().map(|line| line.people).sum();
                for crew in &mut made.crews {
                    crew.roles.retain(|&role| role != Role::Package || crew.name == "packers");
                    if crew.name == "packers" {
                        crew.people =
                            (people - 1).max(made.lines.iter().map(|line| line.people).min().unwrap_or(1));
                    }
                }
            }
            Theme::Overtime => {
                // A full tank takes about a shift and an hour, never exactly some hours: no case hangs on a rounding.
                let full = made.vessels.iter().map(|vessel| vessel.holds.0).min().unwrap_or_default();
                for line in &mut made.lines {
                    line.efficiency = percent(100);
                    line.speed.0 = full * 100 / (random.between(7, 9) * 100 + 13);
                }
            }
            Theme::Pressure => {
                // At 2.5 volumes and 2 degC about 69 kPa: a vessel of 70 kPa less 10 % does not hold it, one of 100 kPa does.
                let rated = Pressure(random.one_of(&[70_000, 100_000, 120_000]));
                let which = random.between(0, made.vessels.len() as i64 - 1) as usize;
                made.vessels[which].rated = rated;
                made.vessels[which].relief = rated;
                made.lines[0].feed = Pressure(95_000);
                made.lines[0].pump = random.percent(30);
            }
            Theme::Dirty => {
                // An emptied fermenter stays dirty where cleaning it costs more than some days of dirt.
                made.rates.dirty = money(random.between(5, 30));
                made.rates.clean = money(random.between(50, 200));
                for vessel in &mut made.vessels {
                    vessel.clean_after = cellarwright_model::case::Turnaround::NextShift;
                }
                made.dirty = empty_fermenters(made);
                if random.percent(65) {
                    made.calendar.work[Role::Brew as usize] = Weekdays([false; 7]);
                }
            }
            Theme::Output => mix(made, random),
        }
    }
    if random.percent(25) && made.beers.len() == 2 {
        made.lines[0].never_after.push(NeverAfter { beer: BeerId(0), after: BeerId(1) });
    }
    if random.percent(60) {
        made.lines[0].least_run = hl(random.between(10, 30));
    }
    if random.percent(20) {
        made.brewhouse.hours_per_day = made.brewhouse.first_turn.takes + Minutes(60);
    }
}

fn empty_fermenters(made: &Case) -> Vec<VesselId> {
    let is_full = |id: VesselId| made.in_tank.iter().any(|tank| tank.vessel == id);
    made.vessel_ids().filter(|&id| made.vessel(id).uses.ferment && !is_full(id)).collect()
}

fn mix(made: &mut Case, random: &mut Random) {
    if made.beers.len() == 2 && random.percent(40) {
        let shares = vec![MixShare { beer: BeerId(0), format: None, share: percent(random.between(30, 70)) }];
        made.aim = Aim::Output(Some(Mix { shares, tolerance: percent(random.between(5, 40)) }));
    }
}
