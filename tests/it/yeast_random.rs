//! Yeast: small cases against an exhaustive search, and random cases in which program and checker must agree.

use cellarwright_model::calendar::Role;
use cellarwright_model::case::{BeerYeast, BoughtYeast, Case, TankWorkKind, Yeast, YeastCrop, YeastInStore};
use cellarwright_model::ids::YeastId;
use cellarwright_model::money::in_tank_value;
use cellarwright_model::plan::{PitchFrom, Work};
use cellarwright_model::units::{Minutes, Money};
use cellarwright_solver::{NoObserver, solve};
use cellarwright_tests::generator::make;
use cellarwright_tests::random::Random;
use cellarwright_tests::small::{beer, case, dry_hop, fast_line, fermenter, hl, job, kegs};

use crate::ahead::plan_valued_alike;
use crate::oracle::exact;

/// A brewery that brews one beer, a turn a day, into fermenters in plenty; what is in tank at the end is worth something.
fn chain(random: &mut Random) -> Case {
    let days = random.between(5, 7);
    let mut made = case(days as usize);
    made.lines.push(fast_line("line"));
    made.formats.push(kegs(0));
    made.rates.labour = Money::ZERO;
    made.rates.clean = Money::ZERO;
    made.rates.sanitise = Money::ZERO;
    made.rates.dirty = Money::ZERO;
    made.brewhouse.turns_per_day = random.between(1, 2);
    made.brewhouse.hours_per_day = Minutes(24 * 60);
    let mut one = beer("beer", &[0]);
    one.direct = false;
    one.stay[0].days = 29;
    one.must_leave = 60;
    one.packaged[0].contribution = Money(40_000);
    one.yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
    made.beers.push(one);
    for number in 0..14 {
        made.vessels.push(fermenter(&format!("F{number}"), hl(20)));
    }
    let from = random.between(1, 2);
    let keeps = random.between(0, 2);
    made.yeast.strains.push(Yeast {
        name: "ale".into(),
        bought: random
            .percent(50)
            .then(|| BoughtYeast { price: Money(random.between(10, 120) * 100), lead: random.between(0, 3) }),
        crop: Some(YeastCrop {
            from,
            to: from + random.between(0, 2),
            pitches: random.between(1, 2),
            not_above: None,
            before_dry_hop: true,
            job: job(Role::Cellar, Minutes(30)),
        }),
        keeps,
        keeps_at_most: keeps + random.between(0, 2),
        late_cost: Money(random.between(0, 40) * 100),
        generations: random.between(2, 4),
    });
    for _ in 0..random.between(0, 2) {
        made.yeast.in_store.push(YeastInStore {
            yeast: YeastId(0),
            generation: random.between(1, 3),
            cropped: -random.between(1, 2),
            pitches: random.between(1, 2),
        });
    }
    made
}

/// Pitches at hand: day of cropping (none: bought), generation, how many.
type Lot = (i64, i64, i64);

/// The best that can be earned from a day on, trying everything; batches are days and generations of what is not cropped yet.
fn best(made: &Case, day: i64, batches: &[(i64, i64)], lots: &[Lot]) -> i64 {
    let days = made.calendar.planned_days as i64;
    if day == days {
        return 0;
    }
    let strain = &made.yeast.strains[0];
    let crop = strain.crop.expect("cropped");
    let can_crop: Vec<usize> = (0..batches.len())
        .filter(|&place| (crop.from..=crop.to).contains(&(day - batches[place].0)))
        .filter(|&place| batches[place].1 < strain.generations)
        .collect();
    let mut found = 0;
    for set in 0..1_usize << can_crop.len() {
        let is_cropped = |place: usize| can_crop.iter().position(|&other| other == place);
        let chosen = |place: usize| is_cropped(place).is_some_and(|bit| set & (1 << bit) != 0);
        let mut lots = lots.to_vec();
        let mut left = Vec::new();
        for (place, &(brewed, generation)) in batches.iter().enumerate() {
            if chosen(place) {
                lots.push((day, generation + 1, crop.pitches));
            } else if day - brewed < crop.to {
                left.push((brewed, generation));
            }
        }
        found = found.max(brew(made, day, &left, &lots, made.brewhouse.turns_per_day));
    }
    found
}

/// The same, with crops of the day done and so many turns left on it.
fn brew(made: &Case, day: i64, batches: &[(i64, i64)], lots: &[Lot], turns: i64) -> i64 {
    let strain = &made.yeast.strains[0];
    let young: Vec<Lot> =
        lots.iter().copied().filter(|lot| lot.2 > 0 && day - lot.0 <= strain.keeps_at_most).collect();
    let mut found = best(made, day + 1, batches, &young);
    if turns == 0 {
        return found;
    }
    let days = made.calendar.planned_days as i64;
    let stay = made.beers[0].stay_days();
    let volume = made.beers[0].loss_tank.taken_off(hl(20));
    let worth = in_tank_value(made, cellarwright_model::ids::BeerId(0), volume, false, days - day, stay).0;
    let begun = |generation| {
        let mut more = batches.to_vec();
        more.push((day, generation));
        more
    };
    if let Some(bought) = strain.bought.filter(|bought| bought.lead <= day) {
        found = found.max(worth - bought.price.0 + brew(made, day, &begun(1), &young, turns - 1));
    }
    for place in 0..young.len() {
        let (cropped, generation, left) = young[place];
        if generation <= strain.generations {
            let mut rest = young.clone();
            rest[place].2 = left - 1;
            let late = (day - cropped - strain.keeps).max(0) * strain.late_cost.0;
            found = found.max(worth - late + brew(made, day, &begun(generation), &rest, turns - 1));
        }
    }
    found
}

#[test]
fn chains_of_crops_are_as_good_as_an_exhaustive_search_finds_them() {
    let mut wrong = Vec::new();
    let mut chained = 0;
    for seed in 0..40 {
        let made = chain(&mut Random::new(seed));
        let lots: Vec<Lot> = made
            .yeast
            .in_store
            .iter()
            .map(|entry| (entry.cropped, entry.generation, entry.pitches))
            .collect();
        let expected = best(&made, 0, &[], &lots);
        let answer = solve(&made, &exact(), &NoObserver).expect("it solves");
        let crops = answer
            .plan
            .tasks
            .iter()
            .filter(|task| matches!(task.work, Work::Pitch { from: PitchFrom::Crop { .. }, .. }));
        chained += crops.count();
        if (answer.objective - expected).abs() > 20 {
            wrong
                .push(format!("{seed}: {} instead of {expected}\n{:?}", answer.objective, answer.plan.tasks));
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(chained > 40, "{chained} pitches from crops");
}

/// Yeast for the beers of a random case, some of them dry hopped.
fn with_yeast(seed: u64) -> Case {
    let mut made = make(seed).case;
    let mut random = Random::new(seed + 177);
    let strains = random.between(1, 2);
    for number in 0..strains {
        let from = random.between(1, 3);
        let keeps = random.between(0, 2);
        made.yeast.strains.push(Yeast {
            name: format!("strain {number}"),
            bought: random.percent(70).then(|| BoughtYeast {
                price: Money(random.between(10, 90) * 100),
                lead: random.between(0, 2),
            }),
            crop: random.percent(80).then(|| YeastCrop {
                from,
                to: from + random.between(0, 3),
                pitches: random.between(1, 3),
                not_above: None,
                before_dry_hop: random.percent(70),
                job: job(Role::Cellar, Minutes(random.between(1, 2) * 30)),
            }),
            keeps,
            keeps_at_most: keeps + random.between(0, 3),
            late_cost: Money(random.between(0, 30) * 100),
            generations: random.between(2, 4),
        });
        made.yeast.in_store.push(YeastInStore {
            yeast: YeastId(number as usize),
            generation: random.between(1, 3),
            cropped: -random.between(1, 3),
            pitches: random.between(1, 4),
        });
    }
    made.calendar.planned_days += 2;
    made.rates.to_package = Money::ZERO;
    for data in &mut made.beers {
        for packaged in &mut data.packaged {
            packaged.contribution = Money(packaged.contribution.0 * 5);
        }
        data.yeast = Some(BeerYeast {
            yeast: YeastId(random.between(0, strains - 1) as usize),
            per_turn: random.percent(50),
            gravity: None,
        });
        if data.stay_days() > 2 && random.percent(50) {
            let mut hop = dry_hop(random.between(1, data.stay_days() - 1));
            hop.slip = random.between(0, 1);
            hop.kind = if random.percent(80) { TankWorkKind::DryHop } else { TankWorkKind::Chill };
            data.tank_work.push(hop);
        }
    }
    for tank in made.in_tank.iter_mut().filter(|tank| !tank.is_bright) {
        let works = &made.beers[tank.beer.0].tank_work;
        tank.work_done =
            works.iter().filter(|work| tank.on + work.day < 0).map(|work| tank.on + work.day).collect();
        if random.percent(70) {
            made.yeast.in_tank.push((tank.vessel, random.between(1, 3)));
        }
    }
    made
}

#[test]
fn program_and_checker_agree_on_random_yeast() {
    let mut wrong = Vec::new();
    let (mut crops, mut pitches) = (0, 0);
    for seed in 0..24 {
        let mut made = with_yeast(seed);
        if seed % 2 == 1 {
            made.calendar.look_ahead_days = 9 + (seed % 8) as usize;
        }
        let Some(plan) = plan_valued_alike(seed, &made, 1.0, &mut wrong) else { continue };
        for task in &plan.tasks {
            crops += usize::from(matches!(task.work, Work::Crop { .. }));
            pitches += usize::from(matches!(task.work, Work::Pitch { .. }));
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(crops + pitches > 5, "{crops} crops, {pitches} pitches");
}
