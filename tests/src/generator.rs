//! Seeded random tiny cases: every case draws some themes that make a rule matter, the rest is small and invented.

mod people;
mod terms;
mod themes;

use cellarwright_model::calendar::{Role, Shift, Weekdays};
use cellarwright_model::case::{Aim, Case, InTank, OvertimeLimit, Packaged, Split, Stage, Stock};
use cellarwright_model::ids::{BeerId, FormatId, VesselId};
use cellarwright_model::units::{Rate, Volume};

use crate::random::Random;
use crate::small::{
    beer, bright, case, crew, fermenter, hl, hours, kegs, line, money, order, percent, unitank,
};

pub use themes::Theme;

/// A random case and its themes.
#[derive(Clone, Debug)]
pub struct Made {
    /// The case.
    pub case: Case,
    /// What was made to matter in it.
    pub themes: Vec<Theme>,
}

/// The case of a seed.
#[must_use]
pub fn make(seed: u64) -> Made {
    let mut random = Random::new(seed);
    let themes = themes::draw(seed, &mut random);
    let has = |theme: Theme| themes.contains(&theme);
    let two_shifts = has(Theme::TwoShifts);
    // Two bright tanks make many choices: such cases are short.
    let days = match (two_shifts, has(Theme::Split)) {
        (true, true) => 3,
        (true, false) => random.between(3, 4),
        (false, true) => random.between(4, 5),
        (false, false) => random.between(4, 7),
    } as usize;
    let mut made = case(days);
    made.name = format!("random {seed}");
    calendar(&mut made, &mut random, two_shifts);
    cellar(&mut made, &mut random, &themes);
    if seed % 4 == 1 {
        make_alike(&mut made);
    }
    lines(&mut made, &mut random, &themes);
    beers(&mut made, &mut random, &themes);
    crews(&mut made, &mut random, &themes);
    opening(&mut made, &mut random, &themes);
    orders(&mut made, &mut random, &themes);
    themes::sharpen(&mut made, &mut random, &themes);
    people::change(&mut made, seed);
    terms::add(&mut made, seed);
    Made { case: made, themes }
}

fn calendar(made: &mut Case, random: &mut Random, two_shifts: bool) {
    made.calendar.starts = jiff::civil::date(2026, 12, random.between(7, 13) as i8);
    if random.percent(40) {
        made.calendar.work = [Weekdays::MONDAY_TO_FRIDAY; 3];
        made.calendar.deliver = Weekdays::MONDAY_TO_FRIDAY;
    }
    if two_shifts {
        made.calendar.shifts = vec![
            Shift { name: "early".into(), starts: hours(6), hours: hours(8) },
            Shift { name: "late".into(), starts: hours(14), hours: hours(8) },
        ];
    }
}

fn cellar(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    let has = |theme: Theme| themes.contains(&theme);
    let turn = random.between(10, 20);
    made.brewhouse.turn = hl(turn);
    made.brewhouse.turns_per_day = random.between(1, 2);
    made.brewhouse.fill_within = hours(random.one_of(&[8, 24, 24]));
    let big = has(Theme::Turns) || has(Theme::Stages);
    let size = turn * if big { 2 } else { 1 } + random.between(0, 3);
    let several = if has(Theme::Split) {
        0
    } else if has(Theme::Dirty) {
        60
    } else {
        30
    };
    let fermenters = if random.percent(several) { 2 } else { 1 };
    for number in 0..fermenters {
        let mut made_vessel = if has(Theme::Direct) || random.percent(40) {
            unitank("F", hl(size))
        } else {
            fermenter("F", hl(size))
        };
        made_vessel.name = format!("F{number}");
        made_vessel.clean_after =
            random.one_of(&[cellarwright_model::case::Turnaround::SameShift, made_vessel.clean_after]);
        made.vessels.push(made_vessel);
    }
    let brights = if has(Theme::Split) {
        2
    } else if has(Theme::Stages) || has(Theme::Bright) {
        1
    } else {
        random.between(0, 1)
    };
    for number in 0..brights {
        let holds = if has(Theme::Stages) {
            turn + 1
        } else if has(Theme::Split) {
            size * 6 / 10
        } else {
            size
        };
        let mut tank = bright("B", hl(holds + random.between(0, 2)));
        tank.name = format!("B{number}");
        tank.refill = random.one_of(&[cellarwright_model::case::Turnaround::SameShift, tank.refill]);
        made.vessels.push(tank);
    }
    for vessel in &mut made.vessels {
        vessel.clean.takes = hours(random.between(1, 3));
        vessel.clean.crew.0[Role::Cellar as usize] = hours(random.between(1, 3));
    }
    made.transfer.job.takes = hours(random.between(1, 3));
    made.transfer.loss_share = percent(random.between(0, 2));
    made.transfer.loss_fixed = Volume(random.between(0, 40) * 1_000);
    made.carbonate.takes = hours(random.one_of(&[2, 6, 6, 20, 30]));
}

/// Vessels of one use differ in nothing but their names.
fn make_alike(made: &mut Case) {
    for index in 1..made.vessels.len() {
        let first =
            made.vessels.iter().find(|vessel| vessel.uses.ferment == made.vessels[index].uses.ferment);
        if let Some(mut alike) = first.cloned() {
            alike.name.clone_from(&made.vessels[index].name);
            made.vessels[index] = alike;
        }
    }
}

fn lines(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    let has = |theme: Theme| themes.contains(&theme);
    let lines = if has(Theme::Heads) { 2 } else { 1 };
    for number in 0..lines {
        let mut one = line("line");
        one.name = format!("line {number}");
        one.speed = Rate(random.between(3, 12) * 100_000);
        one.efficiency = percent(random.between(50, 100));
        one.people = random.between(1, 3);
        one.loss = Volume(random.between(10, 60) * 1_000);
        made.lines.push(one);
        let formats = if lines == 1 && !has(Theme::Split) && random.percent(35) { 2 } else { 1 };
        for _ in 0..formats {
            let mut format = kegs(number);
            format.name = format!("format {}", made.formats.len());
            format.loss = percent(random.between(0, 3));
            made.formats.push(format);
        }
    }
}

fn beers(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    let has = |theme: Theme| themes.contains(&theme);
    let big = has(Theme::Turns) || has(Theme::Stages);
    for number in 0..random.between(1, 2) {
        let formats: Vec<usize> = (0..made.formats.len()).collect();
        let mut one = beer("beer", &formats);
        one.name = format!("beer {number}");
        one.turns = if has(Theme::Stages) {
            vec![2]
        } else if big {
            random.one_of(&[&[2][..], &[1, 2][..]]).to_vec()
        } else {
            vec![1]
        };
        one.stay = vec![Stage { name: "ferment".into(), days: random.between(1, 4) }];
        one.may_wait = random.between(0, 3);
        one.must_leave = one.stay_days() + random.between(3, 9);
        one.bright_wait = random.between(1, 3);
        one.bright_must_leave = one.bright_wait + random.between(1, 6);
        let has_bright = made.vessels.iter().any(|vessel| vessel.uses.bright);
        one.bright = has_bright;
        let by_parts = has(Theme::Split) || has(Theme::Stages);
        one.direct = !has_bright || has(Theme::Direct) || (!by_parts && random.percent(40));
        one.loss_tank = percent(random.between(2, 8));
        one.loss_direct = percent(random.between(0, 4));
        one.during_chill = random.percent(50);
        one.split = if has(Theme::Split) && random.percent(30) { Split::Free } else { Split::Needed };
        one.packaged = formats
            .iter()
            .map(|&format| Packaged {
                format: FormatId(format),
                contribution: money(random.between(80, 200)),
            })
            .collect();
        one.release = random.one_of(&[0, 0, 1]);
        made.beers.push(one);
    }
    if !made.vessels.iter().any(|vessel| vessel.uses.bright) {
        made.vessels[0].uses.package = true;
    }
}

fn crews(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    let has = |theme: Theme| themes.contains(&theme);
    made.crews.clear();
    let mut cellar = crew("cellar", random.between(1, 3), &[Role::Brew, Role::Cellar]);
    let mut packers = crew("packers", random.between(2, 4), &[Role::Package]);
    if random.percent(30) {
        cellar.roles.push(Role::Package);
    }
    if has(Theme::Overtime) {
        packers.overtime = Some(OvertimeLimit { at_most: hours(2), a_week: None, cost: money(15) });
        cellar.overtime =
            random.percent(50).then_some(OvertimeLimit { at_most: hours(3), a_week: None, cost: money(12) });
    }
    let two_shifts = made.calendar.shifts.len() == 2;
    if two_shifts && random.percent(60) {
        cellar.shift = 1;
    }
    made.crews.push(cellar);
    made.crews.push(packers);
    if two_shifts && random.percent(50) {
        let mut late = crew("late", 2, &[Role::Cellar, Role::Package]);
        late.shift = 1;
        made.crews.push(late);
    }
}

fn opening(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    let over = themes.contains(&Theme::Over);
    for index in 0..made.vessels.len() {
        let vessel = made.vessels[index].clone();
        let id = BeerId(random.between(0, made.beers.len() as i64 - 1) as usize);
        let beer = made.beers[id.0].clone();
        if vessel.uses.ferment {
            let full = random.percent(65) || index == 0 || over;
            if !full {
                if random.percent(50) {
                    made.dirty.push(VesselId(index));
                }
                continue;
            }
            let ready = if over { -random.between(2, 6) } else { random.between(-2, 2) };
            let late = if over { beer.must_leave - beer.stay_days() } else { 0 };
            let turns = random.one_of(&beer.turns.clone());
            made.in_tank.push(InTank {
                vessel: VesselId(index),
                beer: id,
                filled: Volume(turns * made.brewhouse.turn.0 - random.between(0, 9) * 1_000),
                on: (ready - beer.stay_days() - late).min(-1),
                ready,
                carbonated: beer.direct && vessel.uses.package && random.percent(15),
                is_bright: false,
                work_done: Vec::new(),
            });
        } else if random.percent(30) {
            let on = -random.between(1, if over { 8 } else { 3 });
            made.in_tank.push(InTank {
                vessel: VesselId(index),
                beer: id,
                filled: Volume(vessel.holds.0 - random.between(0, 20) * 10_000),
                on,
                ready: on,
                carbonated: true,
                is_bright: true,
                work_done: Vec::new(),
            });
        }
    }
}

fn orders(made: &mut Case, random: &mut Random, themes: &[Theme]) {
    if themes.contains(&Theme::Output) {
        made.aim = Aim::Output(None);
        return;
    }
    // Packaged beer is worth more than beer in a tank, so that there is something to do.
    made.rates.to_package = money(random.between(20, 60));
    let last = made.calendar.days() as i64;
    for _ in 0..random.between(1, 3) {
        let id = random.between(0, made.beers.len() as i64 - 1) as usize;
        let format = random.between(0, made.formats.len() as i64 - 1) as usize;
        let mut one = order(id, format, hl(random.between(4, 25)), random.between((last / 2).max(1), last));
        one.firm = random.percent(60);
        made.orders.push(one);
    }
    if random.percent(20) {
        made.stock.push(Stock {
            beer: BeerId(0),
            format: FormatId(0),
            quantity: hl(random.between(1, 8)),
            from: 0,
            packaged_on: -1,
        });
    }
}
