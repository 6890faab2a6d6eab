//! Levers on the tiny brewery: what each changes, and that what makes no sense is not offered.

use super::{Lever, alike, levers, longer, usual_overtime, with};
use crate::calendar::Slot;
use crate::case::{Case, Cost, OvertimeLimit, Price};
use crate::ids::{BeerId, CrewId, LineId, VesselId};
use crate::testkit::{B1, F1, F2, PALE, hl, hours, in_tank, tiny};
use crate::units::{Money, Pressure};

fn one(case: &Case, lever: Lever) -> Case {
    with(case, &[lever]).expect("it makes sense")
}

#[test]
fn one_vessel_of_each_kind_is_offered_and_stands_empty_at_the_end() {
    let case = tiny(7);
    let offered = levers(&case);
    let vessels: Vec<Lever> = offered.iter().copied().filter(|lever| lever.adds_vessel()).collect();
    assert_eq!(vessels, [Lever::Vessel { like: F1 }, Lever::Vessel { like: B1 }]);
    let more = one(&case, vessels[0]);
    assert_eq!(more.vessels.len(), 4);
    assert_eq!(more.vessels[3].holds, case.vessel(F1).holds);
    assert_eq!(alike(&more, F1).collect::<Vec<_>>(), [F1, F2, VesselId(3)]);
    // Twice the same lever gives two vessels with two names.
    let two = with(&case, &[vessels[0], vessels[0]]).expect("valid");
    assert_eq!(two.vessels.len(), 5);
    assert_ne!(two.vessels[3].name, two.vessels[4].name);
}

fn cost(once: Option<i64>, a_week: Option<i64>) -> Cost {
    Cost { once: once.map(Money), a_week: a_week.map(Money) }
}

#[test]
fn a_price_of_the_kind_counts_whichever_vessel_says_it() {
    let mut case = tiny(7);
    assert_eq!(Lever::Vessel { like: F1 }.price(&case), cost(None, None));
    case.vessels[1].price = Some(Money(5_000_000));
    assert_eq!(levers(&case)[0], Lever::Vessel { like: F1 });
    assert_eq!(Lever::Vessel { like: F1 }.price(&case), cost(Some(5_000_000), None));
    // What the brew plan says comes first, of whichever vessel of the kind.
    let of = crate::case::Priced::Vessel(F2);
    case.prices.push(Price { of, cost: cost(Some(4_000_000), Some(1_000)) });
    let person = crate::case::Priced::Person(CrewId(0));
    case.prices.push(Price { of: person, cost: cost(None, Some(90_000)) });
    assert_eq!(Lever::Vessel { like: F1 }.price(&case), cost(Some(4_000_000), Some(1_000)));
    assert_eq!(Lever::Person { crew: CrewId(0), shift: 0 }.price(&case), cost(None, Some(90_000)));
    assert_eq!(Lever::Hour { crew: CrewId(0) }.price(&case), cost(None, None));
}

#[test]
fn what_reaches_a_vessel_reaches_one_more_like_it() {
    let mut case = tiny(7);
    let only = crate::case::Connected { vessels: [B1].into(), lines: [LineId(0)].into() };
    case.vessels[0].reaches = Some(only);
    let more = one(&case, Lever::Vessel { like: B1 });
    assert!(more.reaches_vessel(F1, VesselId(3)));
    // The fermenters are no longer of one kind.
    let kinds = levers(&case).into_iter().filter(|lever| lever.adds_vessel()).count();
    assert_eq!(kinds, 3);
}

#[test]
fn a_first_bright_tank_has_the_size_of_most_fermenters() {
    let mut case = tiny(7);
    case.vessels.truncate(2);
    case.vessels.push(crate::case::Vessel { name: "F3".into(), ..case.vessels[0].clone() });
    case.vessels[0].holds = hl(8000);
    let offered = levers(&case);
    assert!(offered.contains(&Lever::FirstBright { like: VesselId(1) }), "{offered:?}");
    let more = one(&case, Lever::FirstBright { like: VesselId(1) });
    let tank = &more.vessels[3];
    assert!(tank.is_bright_only() && tank.holds == case.vessels[1].holds);
    // Where no beer leaves by a bright tank there is nothing to be had from one.
    case.beers[0].bright = false;
    case.vessels[0].uses.package = true;
    assert!(!levers(&case).iter().any(|lever| matches!(lever, Lever::FirstBright { .. })));
}

#[test]
fn people_hours_turns_and_sets() {
    let case = tiny(7);
    let crew = CrewId(0);
    let more = one(&case, Lever::Person { crew, shift: 0 });
    assert_eq!(more.crews[0].people, case.crews[0].people + 1);
    let longer = one(&case, Lever::Hour { crew });
    assert_eq!(longer.crews[0].hours, case.crews[0].hours + hours(1));
    assert!(longer.calendar.shifts[0].hours >= longer.crews[0].hours);
    let turn = one(&case, Lever::Turn);
    assert_eq!(turn.brewhouse.turns_per_day, case.brewhouse.turns_per_day + 1);
    let added = turn.brewhouse.hours_per_day - case.brewhouse.hours_per_day;
    assert_eq!(added, case.brewhouse.next_turn.takes);
    assert_eq!(one(&case, Lever::CleaningSet).cleaning_sets, case.cleaning_sets + 1);
}

#[test]
fn a_named_set_more_reaches_everything() {
    let mut case = tiny(7);
    case.cleaning.named = vec!["set 2".into()];
    case.vessels.iter_mut().for_each(|vessel| vessel.reach = crate::case::Reach(1));
    case.lines[0].reach = crate::case::Reach::NONE;
    let more = one(&case, Lever::CleaningSet);
    assert_eq!(more.cleaning.named, ["set 2", "set 3"]);
    assert_eq!((more.vessels[0].reach.0, more.lines[0].reach.0), (0b11, 0b10));
}

#[test]
fn a_second_shift_follows_the_last_of_the_day() {
    let case = tiny(7);
    let more = one(&case, Lever::SecondShift { crew: CrewId(0) });
    let [first, second] = more.calendar.shifts.as_slice() else { panic!("{:?}", more.calendar.shifts) };
    assert_eq!(second.starts, first.starts + first.hours);
    assert_eq!(more.crews[0].people_of_shift(1), case.crews[0].people);
    // A day has no room for another after one that ends at midnight.
    let mut late = case.clone();
    late.calendar.shifts[0].starts = hours(16);
    assert_eq!(with(&late, &[Lever::SecondShift { crew: CrewId(0) }]), None);
}

#[test]
fn a_shorter_stay_keeps_the_free_days_and_takes_beer_in_tank_along() {
    let mut case = tiny(7);
    let stay = case.beer(PALE).stay_days();
    case.in_tank.push(in_tank(F1, hl(2000), 1, stay - 1));
    case.in_tank.push(in_tank(F2, hl(2000), 1, stay));
    let shorter = one(&case, Lever::Stay { beer: PALE });
    let (old, new) = (case.beer(PALE), shorter.beer(PALE));
    assert_eq!(new.stay_days(), stay - 1);
    assert_eq!(new.stay_days() + new.may_wait, old.stay_days() + old.may_wait);
    assert_eq!(new.must_leave, old.must_leave);
    // The second has a date of its own.
    assert_eq!([shorter.in_tank[0].ready, shorter.in_tank[1].ready], [stay - 2, stay]);
    for stage in &mut case.beers[0].stay {
        stage.days = 0;
    }
    assert_eq!(with(&case, &[Lever::Stay { beer: PALE }]), None);
}

#[test]
fn ratings_and_pumps_are_offered_only_where_something_is_shut_out() {
    let mut case = tiny(7);
    let is_about_pressure = |lever: &Lever| matches!(lever, Lever::Rating { .. } | Lever::Pump { .. });
    case.lines[0].pump = false;
    case.lines[0].feed = Pressure::ZERO;
    assert!(!levers(&case).iter().any(is_about_pressure), "{:?}", levers(&case));
    // A line that asks for more than a bright tank may be held at.
    let limit = case.vessel(B1).rated.min(case.vessel(B1).relief);
    case.lines[0].feed = limit;
    case.beers[0].pump = true;
    let raised = one(&case, Lever::Rating { like: B1 });
    assert!(raised.vessel(B1).rated > limit && raised.vessel(B1).relief > limit);
    assert!(raised.vessel(B1).rated < limit + limit);
    assert!(one(&case, Lever::Pump { line: LineId(0) }).lines[0].pump);
    case.beers[0].pump = false;
    assert_eq!(with(&case, &[Lever::Pump { line: LineId(0) }]), None);
}

#[test]
fn what_never_hurts_says_so_of_overtime_and_shifts() {
    let mut case = tiny(7);
    let person = Lever::Person { crew: CrewId(0), shift: 0 };
    case.crews[0].overtime = None;
    assert!(person.never_hurts(&case));
    case.crews[0].overtime =
        Some(crate::case::OvertimeLimit { at_most: hours(1), a_week: None, cost: Money(100) });
    assert!(!person.never_hurts(&case));
    assert!(!Lever::SecondShift { crew: CrewId(0) }.never_hurts(&case));
    assert!(Lever::Stay { beer: BeerId(0) }.never_hurts(&case));
    assert!(Lever::Vessel { like: F1 }.never_hurts(&case));
}

#[test]
fn every_lever_offered_gives_a_case_that_is_not_the_same() {
    let case = tiny(14);
    let offered = levers(&case);
    assert!(offered.len() >= 8, "{offered:?}");
    for lever in offered {
        assert_ne!(one(&case, lever), case, "{lever:?}");
    }
}

#[test]
fn a_crew_that_stays_longer_on_one_day_does_so_on_that_day_alone() {
    let mut case = tiny(7);
    let crew = CrewId(0);
    case.crews[0].overtime = Some(OvertimeLimit { at_most: hours(1), a_week: None, cost: Money(900) });
    let slots: Vec<Slot> = (0..case.calendar.planned_slots()).map(Slot).collect();
    let there: Vec<Slot> = slots.iter().copied().filter(|&slot| case.crew_people(crew, slot) > 0).collect();
    let (changed, apart) = longer(&case, crew, there[1], hours(3)).expect("somebody is there");
    for &slot in &slots {
        let (before, by_itself) = (case.crew_people(crew, slot), slot == there[1]);
        assert_eq!(changed.crew_people(crew, slot), if by_itself { 0 } else { before });
        assert_eq!(changed.crew_people(apart, slot), if by_itself { before } else { 0 });
    }
    assert_eq!(changed.crew_hours(apart, there[1]), case.crew_hours(crew, there[1]));
    let limit = changed.crew(apart).overtime.expect("it may");
    assert_eq!((limit.at_most, limit.cost), (hours(3), Money(900)));
    assert_eq!(usual_overtime(&case, crew), hours(1));
    // The limit of a week does not hold for what is asked for besides, so nothing of it is taken for granted.
    case.crews[0].overtime =
        Some(OvertimeLimit { at_most: hours(1), a_week: Some(hours(2)), cost: Money(900) });
    assert_eq!(usual_overtime(&case, crew), hours(0));
    assert!(longer(&case, crew, there[1], hours(30)).is_none());
    let away = slots.into_iter().find(|&slot| case.crew_people(crew, slot) == 0);
    assert!(away.is_none_or(|slot| longer(&case, crew, slot, hours(1)).is_none()));
}
