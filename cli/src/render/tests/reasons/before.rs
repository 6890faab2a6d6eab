//! The filter and the yeast as reasons: each where it holds the order back, and where it does not.

use cellarwright_model::case::{
    Away, BeerYeast, BoughtYeast, Case, Cause, Filter, Outage, RoleTimes, Yeast, YeastCrop, YeastInStore,
};
use cellarwright_model::ids::{BeerId, VesselId, YeastId};
use cellarwright_model::plan::{PitchFrom, Plan};
use cellarwright_model::testkit::{B1, CAN, F1, F2, PlanBuilder, beer, bright, hl, in_tank, job, order};
use cellarwright_model::units::{Minutes, Money, Rate, Share, Volume};

use super::reason;
use crate::render::testcase::{case, view};
use crate::render::view::Reason;

const DARK: BeerId = BeerId(1);

/// Pale in F1 and dark in F2, both ready on Monday, by way of bright tanks and through one filter; an order of Pale for Wednesday.
/// Packaged on Tuesday at the latest, it has to be filtered on Monday.
fn filtered() -> Case {
    let mut case = case();
    case.beers[0].direct = false;
    case.beers.push(beer("Dark", CAN));
    case.beers[1].direct = false;
    case.vessels.push(bright("B2"));
    case.filters.push(Filter {
        name: "sheet filter".into(),
        rate: Rate(500_000),
        start_up: Minutes(30),
        change: Minutes(20),
        loss_fixed: Volume::ZERO,
        loss_share: Share(0),
        people: 0,
    });
    for beer in &mut case.beers {
        beer.filter = Some(0);
    }
    for beer in &mut case.beers {
        beer.bright_must_leave = 30;
    }
    case.in_tank.push(in_tank(F2, hl(2_000), 2, 0));
    case.in_tank[1].beer = DARK;
    case.orders = vec![order(hl(500), 2, true)];
    case
}

/// The dark beer is filtered on Monday.
fn dark_first(case: &Case) -> Plan {
    PlanBuilder::new().transfer(0, F2, B1, case.beers[1].loss_tank.taken_off(hl(2_000))).plan()
}

#[test]
fn the_filter_is_a_reason_where_other_beer_takes_its_time() {
    let mut case = filtered();
    let plan = dark_first(&case);
    // 18.81 hL at 5 hL an hour and start-up: 256 of 480 min.
    assert_eq!(view(&case, &plan).violations, Vec::new());
    assert_eq!(reason(&case, &plan), Some(Reason::WorthMore));
    let monday = "2026-12-07".to_owned();
    let full = Some(Reason::FilterFull { filter: "sheet filter".into(), from: monday.clone(), to: monday });
    // 224 min are left; the 10 hL that the second bright tank has to hold at least take 120, besides the change of beer.
    assert_eq!(case.vessels[3].least, hl(1_000));
    case.filters[0].change = Minutes(105);
    assert_eq!(reason(&case, &plan), full);
    case.filters[0].change = Minutes(104);
    assert_eq!(reason(&case, &plan), Some(Reason::WorthMore));
    let screen = |case: &Case| crate::render::orders::lines(&view(case, &plan)).join("\n");
    assert!(!screen(&case).contains("sheet filter"));
    case.filters[0].change = Minutes(105);
    assert!(screen(&case).contains("sheet filter had no time left on Mon 7 Dec"), "{}", screen(&case));
    // The beer goes without it.
    let mut unfiltered = case.clone();
    unfiltered.beers[0].filter = None;
    assert_eq!(reason(&unfiltered, &plan), Some(Reason::WorthMore));
    // A day more, on which it stands idle; then it is away on that day.
    let mut longer = case;
    longer.orders[0].due = 3;
    assert_eq!(reason(&longer, &plan), Some(Reason::WorthMore));
    longer.fixed.outages.push(Outage {
        what: Away::Filter(0),
        first_day: 1,
        last_day: 1,
        cause: Cause::Outage,
        reason: String::new(),
        must_be_empty: false,
        crew: RoleTimes::default(),
    });
    let both = Reason::FilterFull {
        filter: "sheet filter".into(),
        from: "2026-12-07".into(),
        to: "2026-12-08".into(),
    };
    assert_eq!(reason(&longer, &plan), Some(both));
}

/// No beer in tank, and an order for Friday: brewed on Monday or Tuesday it is ready after two days. Yeast that cannot be bought.
fn unpitched() -> Case {
    let mut case = case();
    case.in_tank.clear();
    case.beers.push(beer("Dark", CAN));
    for beer in &mut case.beers {
        beer.yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
    }
    let crop = YeastCrop {
        from: 1,
        to: 3,
        pitches: 1,
        not_above: None,
        before_dry_hop: true,
        job: job(30, cellarwright_model::calendar::Role::Cellar, 30),
    };
    case.yeast.strains.push(Yeast {
        name: "ale yeast".into(),
        bought: None,
        crop: Some(crop),
        keeps: 5,
        keeps_at_most: 5,
        late_cost: Money::ZERO,
        generations: 3,
    });
    case.orders = vec![order(hl(500), 4, true)];
    case
}

fn no_pitch() -> Option<Reason> {
    Some(Reason::NoPitch { yeast: "ale yeast".into(), from: "2026-12-07".into(), to: "2026-12-08".into() })
}

#[test]
fn yeast_is_a_reason_where_there_is_none_by_the_last_brewing_day() {
    let mut case = unpitched();
    let idle = Plan::default();
    assert_eq!(reason(&case, &idle), no_pitch());
    let screen = crate::render::orders::lines(&view(&case, &idle)).join(" ");
    let screen = screen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(screen.contains("but no pitch of ale yeast from Mon 7 Dec to Tue 8 Dec"), "{screen}");
    let mut bought = |lead| {
        case.yeast.strains[0].bought = Some(BoughtYeast { price: Money(100), lead });
        reason(&case, &idle)
    };
    assert_eq!(bought(2), no_pitch());
    assert_eq!(bought(1), Some(Reason::WorthMore));
    let mut without = unpitched();
    without.beers[0].yeast = None;
    assert_eq!(reason(&without, &idle), Some(Reason::WorthMore));
}

#[test]
fn yeast_in_store_is_no_help_where_it_is_pitched_elsewhere_too_old_or_too_little() {
    let mut case = unpitched();
    let entry = YeastInStore { yeast: YeastId(0), generation: 1, cropped: -1, pitches: 1 };
    case.yeast.in_store.push(entry);
    let idle = Plan::default();
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    let dark = PlanBuilder::new().brew_beer(0, DARK, F1, 1).pitch(0, F1, PitchFrom::Store(0), 1).plan();
    let mut kept = case.clone();
    kept.yeast.strains[0].crop = None;
    assert_eq!(view(&kept, &dark).violations, Vec::new());
    assert_eq!(reason(&kept, &dark), no_pitch());
    // The batch of the dark beer could be cropped on Tuesday.
    assert_eq!(reason(&case, &dark), Some(Reason::WorthMore));
    let mut last = case.clone();
    last.yeast.strains[0].generations = 1;
    assert_eq!(reason(&last, &dark), no_pitch());
    case.yeast.in_store[0].cropped = -6;
    assert_eq!(reason(&case, &idle), no_pitch());
    case.yeast.in_store[0] = entry;
    case.beers[0].yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: true, gravity: None });
    case.beers[0].turns = vec![2];
    assert_eq!(reason(&case, &idle), no_pitch());
    // Two pitches of different generations do not make one batch, two of one do.
    case.yeast.in_store.push(YeastInStore { generation: 2, ..entry });
    assert_eq!(reason(&case, &idle), no_pitch());
    case.yeast.in_store[1].generation = 1;
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
}

#[test]
fn yeast_is_no_reason_where_brewhouse_or_fermenters_are_taken() {
    let mut case = unpitched();
    let idle = Plan::default();
    case.brewhouse.turns_per_day = 0;
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    case.brewhouse.turns_per_day = 2;
    for vessel in [F1, F2] {
        case.in_tank.push(in_tank(vessel, hl(2_000), 1, 6));
    }
    for tank in &mut case.in_tank {
        tank.beer = DARK;
    }
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
    case.in_tank.pop();
    assert_eq!(reason(&case, &idle), no_pitch());
    // The batch in tank may be cropped on Monday, once its generation is known.
    case.yeast.in_tank.push((VesselId(0), 1));
    assert_eq!(reason(&case, &idle), Some(Reason::WorthMore));
}

/// F1 is the only fermenter that is free, and the plan brews the order's beer in it on Thursday, too late.
#[test]
fn yeast_of_a_later_batch_of_the_beer_could_have_been_pitched_earlier() {
    let mut case = unpitched();
    case.in_tank.push(in_tank(F2, hl(2_000), 1, 6));
    case.in_tank[0].beer = DARK;
    case.yeast.in_store.push(YeastInStore { yeast: YeastId(0), generation: 1, cropped: -1, pitches: 1 });
    let late = |from| PlanBuilder::new().sanitise(3, F1).brew(3, F1, 1).pitch(3, F1, from, 1).plan();
    assert_eq!(reason(&case, &late(PitchFrom::Store(0))), Some(Reason::WorthMore));
    case.yeast.in_store.clear();
    case.yeast.strains[0].bought = Some(BoughtYeast { price: Money(100), lead: 3 });
    assert_eq!(view(&case, &late(PitchFrom::Bought)).violations, Vec::new());
    assert_eq!(reason(&case, &late(PitchFrom::Bought)), no_pitch());
}
