//! Two lines and the people at them: three packers for eight hours, cans need three, kegs two (common practice).

use cellarwright_checker::check;
use cellarwright_model::case::{Case, Format};
use cellarwright_model::ids::{CrewId, FormatId, LineId};
use cellarwright_model::plan::Plan;
use cellarwright_model::rule::RuleId;
use cellarwright_model::testkit::{B1, CAN, CANS, PlanBuilder, hl, hours, in_bright, line, tiny};
use cellarwright_model::units::{Minutes, Volume};
use cellarwright_model::violation::Amount;

const KEGS: LineId = LineId(1);
const KEG: FormatId = FormatId(1);
const PACKERS: CrewId = CrewId(1);

/// Lines without set-up times that run 8 hL an hour.
fn case() -> Case {
    let mut case = tiny(2);
    case.lines.push(line("kegs"));
    for line in &mut case.lines {
        line.start_up = Minutes(0);
        line.clean_down = Minutes(0);
    }
    case.lines[0].people = 3;
    case.crews[1].people = 3;
    case.formats.push(Format { line: KEGS, ..case.formats[0].clone() });
    let packaged = cellarwright_model::case::Packaged { format: KEG, ..case.beers[0].packaged[0] };
    case.beers[0].packaged.push(packaged);
    case.vessels[2].holds = hl(10_000);
    case.in_tank = vec![in_bright(B1, hl(8_000), 1)];
    case
}

/// Cans for five hours, kegs for four.
fn both(keg_day: usize) -> PlanBuilder {
    let (cans, kegs) = (hl(4_000), hl(3_200));
    PlanBuilder::new().package(0, CANS, CAN, B1, cans).package(keg_day, KEGS, KEG, B1, kegs)
}

fn found(case: &Case, plan: &Plan) -> Vec<(RuleId, &'static str)> {
    let violations = check(case, plan).violations;
    violations.iter().map(|violation| (violation.rule, violation.what)).collect()
}

#[test]
fn the_person_hours_would_do_but_the_heads_do_not() {
    // 3 x 5 h + 2 x 4 h = 23 of 24 person-hours, yet nine hours one after the other.
    let report = check(&case(), &both(0).plan());
    assert_eq!(found(&case(), &both(0).plan()), [(RuleId::Crew, "time of lines one after another")]);
    assert_eq!(report.violations[0].found, Amount::Time(hours(9)));
    assert_eq!(report.violations[0].allowed, Amount::Time(hours(8)));
}

#[test]
fn another_day_or_an_hour_of_overtime_helps() {
    assert_eq!(found(&case(), &both(1).plan()), []);
    assert_eq!(found(&case(), &both(0).overtime(0, PACKERS, hours(1)).plan()), []);
    let minutes = both(0).overtime(0, PACKERS, Minutes(58)).plan();
    assert_eq!(found(&case(), &minutes), [(RuleId::Crew, "time of lines one after another")]);
}

#[test]
fn a_line_without_its_people_does_not_run() {
    let mut case = case();
    case.lines[0].people = 4;
    assert_eq!(found(&case, &both(1).plan()), [(RuleId::Crew, "heads")]);
    case.crews[1].people = 4;
    assert_eq!(found(&case, &both(1).plan()), []);
}

#[test]
fn two_small_lines_run_side_by_side() {
    let mut case = case();
    case.lines[0].people = 1;
    // 40 hL + 32 hL drawn, 2 % lost on each, 0.5 hL on each line.
    let report = check(&case, &both(0).plan());
    assert_eq!(report.violations, []);
    assert_eq!(report.breakdown.packaged_planned, Volume(3_871_000 + 3_087_000));
}
