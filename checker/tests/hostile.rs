//! Plans of any kind are judged without a panic, and always alike.

use cellarwright_checker::check;
use cellarwright_model::calendar::Slot;
use cellarwright_model::case::{Case, Tap, Taproom};
use cellarwright_model::ids::{BeerId, CrewId, FormatId, LineId, OrderId, VesselId};
use cellarwright_model::plan::{
    Count, Delivery, Leaving, Outlook, OutlookBatch, OutlookLot, OutlookPackaging, OutlookPour, OutlookUse,
    Overtime, Period, Plan, Pour, Source, Task, Used, Work,
};
use cellarwright_model::testkit::{B1, F1, beer, bright, hl, in_bright, in_tank, line, order, tiny};
use cellarwright_model::units::{Minutes, Money, Volume};
use proptest::prelude::*;

fn case(look_ahead_days: usize) -> Case {
    let mut case = tiny(5);
    case.calendar.look_ahead_days = look_ahead_days;
    case.vessels.push(bright("B2"));
    case.vessels[3].uses.ferment = true;
    case.vessels[2].uses.serve = true;
    let tap = Tap { beer: BeerId(0), a_day: [hl(100); 7], contribution: Money(30_000), pour_within: 5 };
    case.taproom = Taproom { opens: Minutes(720), pours: vec![tap], ..Taproom::default() };
    case.beers.push(beer("Dark", FormatId(1)));
    case.lines.push(line("kegs"));
    case.formats.push(case.formats[0].clone());
    case.formats[1].line = LineId(1);
    case.in_tank = vec![in_tank(F1, hl(2_000), 3, 0), in_bright(B1, hl(2_000), 1)];
    case.orders = vec![order(hl(1_000), 3, true), order(hl(500), 40, true)];
    case
}

fn number() -> impl Strategy<Value = i64> {
    prop_oneof![0_i64..4_000_000, Just(i64::MIN), Just(i64::MAX), Just(0), any::<i64>(), -5_i64..5]
}

fn slot() -> impl Strategy<Value = Slot> {
    prop_oneof![8 => (0_usize..6).prop_map(Slot), 1 => any::<usize>().prop_map(Slot)]
}

fn vessel() -> impl Strategy<Value = VesselId> {
    (0_usize..4).prop_map(VesselId)
}

fn pair() -> impl Strategy<Value = usize> {
    0_usize..2
}

fn part() -> impl Strategy<Value = Option<Volume>> {
    prop::option::of(number().prop_map(Volume))
}

fn work() -> impl Strategy<Value = Work> {
    prop_oneof![
        (pair(), vessel(), number(), part()).prop_map(|(beer, vessel, turns, part)| Work::Brew {
            beer: BeerId(beer),
            vessel,
            turns,
            part
        }),
        (pair(), vessel(), 1_i64..3).prop_map(|(beer, vessel, turns)| Work::Brew {
            beer: BeerId(beer),
            vessel,
            turns,
            part: None
        }),
        (vessel(), any::<bool>()).prop_map(|(vessel, full)| Work::Clean { vessel, full }),
        vessel().prop_map(|vessel| Work::Sanitise { vessel }),
        vessel().prop_map(|vessel| Work::Carbonate { vessel }),
        vessel().prop_map(|vessel| Work::Dump { vessel }),
        (vessel(), vessel(), number()).prop_map(|(from, to, volume)| Work::Transfer {
            from,
            to,
            volume: Volume(volume),
            full: volume % 2 == 0,
        }),
        (pair(), pair(), vessel(), number()).prop_map(|(line, format, vessel, volume)| Work::Package {
            line: LineId(line),
            format: FormatId(format),
            vessel,
            volume: Volume(volume),
        }),
    ]
}

fn period() -> impl Strategy<Value = usize> {
    prop_oneof![8 => 0_usize..2, 1 => any::<usize>()]
}

fn source() -> impl Strategy<Value = Source> {
    prop_oneof![
        vessel().prop_map(Source::InTank),
        (vessel(), period()).prop_map(|(like, period)| Source::New { like, period }),
    ]
}

fn leaving() -> impl Strategy<Value = Leaving> {
    prop_oneof![
        period().prop_map(Leaving::Bright),
        period().prop_map(Leaving::Direct),
        period().prop_map(Leaving::Dump),
        Just(Leaving::Stays),
    ]
}

fn used() -> impl Strategy<Value = Used> {
    prop_oneof![
        Just(Used::BrewDay),
        pair().prop_map(|line| Used::LineShift(LineId(line))),
        (pair(), pair()).prop_map(|(line, beer)| Used::Run(LineId(line), BeerId(beer))),
        vessel().prop_map(Used::Clean),
        pair().prop_map(|crew| Used::OvertimeMinutes(CrewId(crew))),
    ]
}

fn periods() -> impl Strategy<Value = Vec<Period>> {
    let right = vec![Period { first_day: 5, last_day: 6 }, Period { first_day: 7, last_day: 11 }];
    let wrong =
        vec![Period { first_day: 7, last_day: usize::MAX }, Period { first_day: usize::MAX, last_day: 0 }];
    prop_oneof![8 => Just(right), 1 => Just(wrong), 1 => Just(Vec::new())]
}

prop_compose! {
    fn outlook()(
        periods in periods(),
        batches in prop::collection::vec((source(), pair(), number(), part(), number(), leaving()), 0..6),
        lots in prop::collection::vec((source(), pair(), number(), number(), prop::option::of(period())), 0..6),
        packaging in prop::collection::vec((period(), pair(), pair(), number(), number()), 0..6),
        pours in prop::collection::vec((period(), pair(), number()), 0..6),
        uses in prop::collection::vec((period(), used(), number()), 0..6),
    ) -> Outlook {
        Outlook {
            periods,
            batches: batches.into_iter().map(|(source, beer, turns, part, count, leaving)| OutlookBatch {
                source, beer: BeerId(beer), turns, part, count: Count(count), moved: None, leaving,
            }).collect(),
            lots: lots.into_iter().map(|(source, beer, volume, count, emptied)| OutlookLot {
                source, beer: BeerId(beer), volume: Volume(volume), count: Count(count), emptied,
            }).collect(),
            packaging: packaging.into_iter().map(|(period, beer, format, drawn, packaged)| OutlookPackaging {
                period, beer: BeerId(beer), format: FormatId(format), drawn: Volume(drawn), packaged: Volume(packaged),
            }).collect(),
            pours: pours.into_iter().map(|(period, beer, volume)| OutlookPour {
                period, beer: BeerId(beer), volume: Volume(volume),
            }).collect(),
            uses: uses.into_iter().map(|(period, what, count)| OutlookUse {
                period, what, count: Count(count),
            }).collect(),
        }
    }
}

/// Clock times, mostly of the day, some absurd.
fn begins() -> impl Strategy<Value = Option<Minutes>> {
    prop_oneof![4 => (0..480_i64).prop_map(|minutes| Some(Minutes(minutes))), 1 => number().prop_map(|minutes| Some(Minutes(minutes))), 1 => Just(None)]
}

prop_compose! {
    fn plan()(
        tasks in prop::collection::vec((slot(), work(), begins()), 0..25),
        pours in prop::collection::vec((0_usize..7, vessel(), number()), 0..6),
        overtime in prop::collection::vec((slot(), pair(), number()), 0..4),
        deliveries in prop::collection::vec((pair(), number(), number()), 0..4),
        outlook in outlook(),
    ) -> Plan {
        Plan {
            tasks: tasks.into_iter().map(|(slot, work, begins)| Task { slot, work, begins }).collect(),
            pours: pours.into_iter().map(|(day, vessel, volume)| Pour {
                day, vessel, volume: Volume(volume),
            }).collect(),
            overtime: overtime.into_iter().map(|(slot, crew, time)| Overtime {
                slot, crew: CrewId(crew), time: Minutes(time),
            }).collect(),
            deliveries: deliveries.into_iter().map(|(order, day, volume)| Delivery {
                order: OrderId(order), day, volume: Volume(volume),
            }).collect(),
            outlook,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4_000, ..ProptestConfig::default() })]

    #[test]
    fn any_plan_is_judged(plan in plan(), looks_ahead in any::<bool>()) {
        let mut case = case(if looks_ahead { 7 } else { 0 });
        case.clock_times = looks_ahead;
        let report = check(&case, &plan);
        prop_assert_eq!(&report, &check(&case, &plan));
        let outside = plan.tasks.iter().any(|task| task.slot.0 >= 5);
        let found = report.violations.iter().any(|violation| violation.rule.code() == "R20");
        prop_assert!(found || !outside);
        prop_assert!(report.breakdown.packaged_planned >= Volume(0));
        for use_of in report.usage.resources.iter().flat_map(|resource| &resource.uses) {
            prop_assert!(use_of.used >= 0);
        }
    }
}
