//! A look-ahead worked out by hand, and changes of it that break one rule each.
//!
//! Monday to Friday are planned; Saturday to Sunday, Monday to Wednesday and Thursday to Friday are counted on.

use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::ids::CrewId;
use cellarwright_model::money::Breakdown;
use cellarwright_model::plan::{
    Count, Leaving, Outlook, OutlookBatch, OutlookLot, OutlookPackaging, OutlookUse, Period, Plan, Source,
    Used,
};
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, F2, PALE, PlanBuilder, hl, order, tiny};
use cellarwright_model::units::{Money, Volume};

fn case() -> Case {
    let mut case = tiny(5);
    case.calendar.look_ahead_days = 7;
    case
}

fn used(what: Used, millionths: i64) -> OutlookUse {
    OutlookUse { period: 1, what, count: Count(millionths) }
}

/// A batch in F1 is moved and packaged in the second period; half a batch is brewed then and stays.
fn plan() -> Plan {
    let brewed = OutlookBatch {
        source: Source::New { like: F2, period: 1 },
        beer: PALE,
        turns: 1,
        part: None,
        count: Count(500_000),
        moved: None,
        leaving: Leaving::Stays,
    };
    let moved = OutlookBatch {
        source: Source::InTank(F1),
        turns: 0,
        count: Count::ONE,
        leaving: Leaving::Bright(1),
        ..brewed
    };
    let outlook = Outlook {
        periods: [(5, 6), (7, 9), (10, 11)]
            .into_iter()
            .map(|(first_day, last_day)| Period { first_day, last_day })
            .collect(),
        batches: vec![moved, brewed],
        lots: vec![OutlookLot {
            source: Source::New { like: B1, period: 1 },
            beer: PALE,
            volume: hl(1_881),
            count: Count::ONE,
            emptied: Some(1),
        }],
        packaging: vec![OutlookPackaging {
            period: 1,
            beer: PALE,
            format: CAN,
            drawn: hl(1_881),
            packaged: Volume(1_794_380),
        }],
        pours: Vec::new(),
        uses: vec![
            used(Used::BrewDay, 500_000),
            used(Used::LineShift(CANS), 1_000_000),
            used(Used::Run(CANS, PALE), 1_000_000),
        ],
    };
    Plan { outlook, ..PlanBuilder::new().brew(0, F1, 1).plan() }
}

#[test]
fn costs_and_values_by_hand() {
    // Labour at 30.00: brew 4 h in the plan and half of 4 h later, transfer + carbonate + clean 2.5 h, and the line: start-up
    // and clean-down 90 min, 18.81 hL at 8 hL an hour, two people: 7.7025 h. Ready on day 2, free until day 5, moved on day 7
    // at the earliest: 2 days at 1.00 for 19 hL. Half a batch is worth half of 17.7576 hL at 40.00, its stay being over.
    let report = check(&case(), &plan());
    assert_eq!(report.violations, []);
    let expected = Breakdown {
        labour: Money(12_000 + 6_000 + 7_500 + 23_108),
        cleaning: Money(1_500),
        transfers: Money(2_000),
        gas: Money(2_822),
        waiting: Money(3_800),
        surplus: Money(107_663),
        in_tank: Money(35_515),
        packaged_look_ahead: Volume(1_794_380),
        ..Breakdown::default()
    };
    assert_eq!(report.breakdown, expected);
}

#[test]
fn beer_that_stays_in_bright_tanks_is_valued_less_what_is_drawn() {
    // 8.81 of 18.81 hL are drawn: 10 hL stay, of which (10 - 0.5) x 0.98 = 9.31 hL are expected, at 40.00 each.
    // The other half batch is as above. Filled on day 9 at the latest, there until day 12, free for two days: one day at 1.00.
    let mut plan = plan();
    plan.outlook.lots[0].emptied = None;
    plan.outlook.packaging[0].drawn = hl(881);
    plan.outlook.packaging[0].packaged = Volume(814_380);
    let report = check(&case(), &plan);
    assert_eq!(report.violations, []);
    assert_eq!(report.breakdown.in_tank, Money(35_515 + 37_240));
    assert_eq!(report.breakdown.waiting, Money(3_800 + 1_881));
}

/// A rule, what changes, and how the case and the plan change so that only this rule is broken.
type Change = (RuleId, &'static str, fn(&mut Case, &mut Plan));

const CHANGES: &[Change] = &[
    (RuleId::OneBatch, "eleven tenths of F1", |_, plan| plan.outlook.batches[0].count = Count(1_100_000)),
    (RuleId::OneBatch, "F1 is forgotten", |_, plan| {
        plan.outlook = Outlook { periods: plan.outlook.periods.clone(), ..Outlook::default() };
    }),
    (RuleId::OneBatch, "two and a half batches in two fermenters", |_, plan| {
        plan.outlook.batches[1].count = Count(2_500_000);
        plan.outlook.uses[0].count = Count(1_250_000);
        plan.outlook.uses.push(used(Used::Clean(F1), 1_500_000));
    }),
    (RuleId::FillLevel, "three turns", |_, plan| {
        plan.outlook.batches[1].turns = 3;
        plan.outlook.uses[0].count = Count(750_000);
    }),
    (RuleId::Turns, "too few brewing days", |_, plan| plan.outlook.uses[0].count = Count(200_000)),
    (RuleId::Ready, "brewed and moved within two days", |case, plan| {
        case.beers[0].stay[0].days = 3;
        plan.outlook.batches[1].leaving = Leaving::Bright(1);
    }),
    (RuleId::Wait, "past the hard end", |case, _| case.beers[0].must_leave = 6),
    (RuleId::BrightRest, "packaged before it is filled", |_, plan| plan.outlook.lots[0].emptied = Some(0)),
    (RuleId::Clean, "a batch and a half in one clean fermenter", |_, plan| {
        plan.outlook.batches[1].count = Count(1_500_000);
        plan.outlook.uses[0].count = Count(750_000);
    }),
    (RuleId::Clean, "too many cleans for the cleaning set", |_, plan| {
        plan.outlook.uses.push(used(Used::Clean(F1), 11_000_000));
    }),
    (RuleId::Crew, "overtime of three days beyond two hours a day", |_, plan| {
        plan.outlook.uses.push(used(Used::OvertimeMinutes(CrewId(1)), 362_000_000));
    }),
    (RuleId::Crew, "870 of 720 person-minutes in the cellar", |case, plan| {
        case.crews[0].hours.0 = 120;
        plan.outlook.uses.push(used(Used::Clean(F1), 10_000_000));
    }),
    (RuleId::Line, "four shifts in three days", |_, plan| plan.outlook.uses[1].count = Count(4_000_000)),
    (RuleId::Volume, "more drawn than filled", |_, plan| plan.outlook.packaging[0].drawn = hl(1_882)),
    (RuleId::Volume, "more filled than moved", |_, plan| plan.outlook.lots[0].volume = hl(1_882)),
    (RuleId::Volume, "more packaged than drawn", |_, plan| {
        plan.outlook.packaging[0].packaged = Volume(1_795_000);
    }),
    (RuleId::Volume, "a count below nothing", |_, plan| plan.outlook.batches[1].count = Count(-1)),
    (RuleId::Orders, "delivered on the day of packaging", |case, plan| {
        case.orders = vec![order(hl(1_000), 7, false)];
        plan.deliveries = PlanBuilder::new().deliver(0, 7, hl(1_000)).plan().deliveries;
    }),
    (RuleId::Start, "beer in F2", |_, plan| {
        let more = OutlookBatch { source: Source::InTank(F2), ..plan.outlook.batches[0] };
        plan.outlook.batches.push(more);
    }),
    (RuleId::Calendar, "a period that is not listed", |_, plan| plan.outlook.packaging[0].period = 9),
    (RuleId::Use, "packaged from a fermenter without that use", |case, plan| {
        case.vessels[1].uses.package = false;
        plan.outlook.batches[1].leaving = Leaving::Direct(2);
    }),
];

#[test]
fn each_change_breaks_its_rule_alone() {
    let mut wrong = Vec::new();
    for (rule, what, change) in CHANGES {
        let (mut case, mut plan) = (case(), plan());
        change(&mut case, &mut plan);
        let violations = check(&case, &plan).violations;
        let mut found: Vec<RuleId> = violations.iter().map(|violation| violation.rule).collect();
        found.dedup();
        if found != [*rule] {
            wrong.push(format!("{rule:?}, {what}: {violations:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_order_after_the_first_packaging_day_is_met() {
    let (mut case, mut plan) = (case(), plan());
    case.orders = vec![order(hl(1_000), 8, false)];
    plan.deliveries = PlanBuilder::new().deliver(0, 8, hl(1_000)).plan().deliveries;
    let report = check(&case, &plan);
    assert_eq!(report.violations, []);
    assert_eq!(report.breakdown.delivered, Money(100_000));
}
