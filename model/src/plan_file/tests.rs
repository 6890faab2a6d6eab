use super::*;
use crate::calendar::{Shift, Slot};
use crate::case::{Aim, Case};
use crate::finding::Finding;
use crate::ids::{CrewId, OrderId, YeastId};
use crate::plan::{
    Count, Delivery, Leaving, Outlook, OutlookBatch, OutlookLot, OutlookPackaging, OutlookPour, OutlookUse,
    Overtime, Period, PitchFrom, Plan, Pour, Source, Task, Used, Work,
};
use crate::testkit::{B1, CAN, CANS, F1, F2, PALE, dry_hop, hl, hours, order, tiny};
use crate::units::{Minutes, Volume};

/// Two shifts a day, and names that YAML would misread if they stood there plainly.
fn case() -> Case {
    let mut case = tiny(7);
    case.name = "Week 1: \"dark\" # not a comment".to_owned();
    case.beers[0].name = "null".to_owned();
    case.vessels[0].name = "yes".to_owned();
    case.vessels[1].name = "12".to_owned();
    case.vessels[2].name = "B, {1}: *x &y".to_owned();
    case.formats[0].name = "24 x 440 mL\tcase".to_owned();
    case.lines[0].name = "Größe \u{1f37a}".to_owned();
    case.beers[0].tank_work = vec![dry_hop(1), dry_hop(1)];
    case.beers[0].tank_work[1].name = "no, not yet: {x}".to_owned();
    case.yeast.strains.push(crate::case::Yeast {
        name: "no: 5".to_owned(),
        bought: None,
        crop: None,
        keeps: 0,
        keeps_at_most: 0,
        late_cost: crate::units::Money::ZERO,
        generations: 9,
    });
    let entry = crate::case::YeastInStore { yeast: YeastId(0), generation: 1, cropped: -1, pitches: 1 };
    case.yeast.in_store = vec![entry; 2];
    case.calendar.look_ahead_days = 14;
    case.calendar.shifts.push(Shift { name: "late".to_owned(), starts: hours(14), hours: hours(8) });
    case.orders = vec![order(hl(1_000), 4, true), order(hl(500), 9, false)];
    case
}

fn plan() -> Plan {
    let volume = Volume(3_760_001);
    let works = [
        Work::Brew { beer: PALE, vessel: F1, turns: 2, part: None },
        Work::Clean { vessel: F2, full: false },
        Work::Clean { vessel: F1, full: true },
        Work::Sanitise { vessel: F2 },
        Work::Transfer { from: F1, to: B1, volume, full: false },
        Work::Transfer { from: F2, to: B1, volume, full: true },
        Work::Carbonate { vessel: F2 },
        Work::Package { line: CANS, format: CAN, vessel: B1, volume },
        Work::Tank { beer: PALE, work: 1, vessel: F1 },
        Work::Crop { vessel: F2 },
        Work::Pitch { vessel: F1, yeast: YeastId(0), from: PitchFrom::Bought, pitches: 2 },
        Work::Pitch { vessel: F1, yeast: YeastId(0), from: PitchFrom::Store(1), pitches: 1 },
        Work::Pitch {
            vessel: F1,
            yeast: YeastId(0),
            from: PitchFrom::Crop { vessel: F2, day: 3 },
            pitches: 1,
        },
        Work::Dump { vessel: F1 },
        Work::Brew { beer: PALE, vessel: F2, turns: 1, part: Some(Volume(1_200_000)) },
    ];
    let tasks = works.iter().enumerate().map(|(number, &work)| Task::new(Slot(number * 3), work));
    let in_tank = |leaving| OutlookBatch {
        source: Source::InTank(F1),
        beer: PALE,
        turns: 0,
        part: None,
        count: Count::ONE,
        moved: None,
        leaving,
    };
    let lot = |source, emptied| OutlookLot { source, beer: PALE, volume, count: Count(1_234_567), emptied };
    let uses = [
        Used::BrewDay,
        Used::LineShift(CANS),
        Used::Run(CANS, PALE),
        Used::Clean(F2),
        Used::SecondTransfer(PALE),
        Used::BoughtYeast(YeastId(0)),
        Used::OvertimeMinutes(CrewId(1)),
    ];
    Plan {
        tasks: tasks.collect(),
        overtime: vec![Overtime { slot: Slot(3), crew: CrewId(1), time: Minutes(61) }],
        pours: vec![Pour { day: 0, vessel: B1, volume }, Pour { day: 2, vessel: B1, volume: Volume(40_000) }],
        deliveries: vec![
            Delivery { order: OrderId(0), day: 4, volume },
            Delivery { order: OrderId(1), day: 6, volume: Volume(1) },
        ],
        outlook: Outlook {
            periods: vec![Period { first_day: 7, last_day: 9 }, Period { first_day: 10, last_day: 20 }],
            batches: vec![
                in_tank(Leaving::Bright(0)),
                in_tank(Leaving::Direct(1)),
                in_tank(Leaving::Dump(1)),
                OutlookBatch {
                    source: Source::New { like: F2, period: 1 },
                    turns: 2,
                    count: Count(333_333),
                    moved: Some(crate::plan::Moved { like: F1, period: 1 }),
                    ..in_tank(Leaving::Stays)
                },
                OutlookBatch { turns: 1, part: Some(volume), ..in_tank(Leaving::Stays) },
            ],
            lots: vec![
                lot(Source::InTank(B1), Some(0)),
                lot(Source::New { like: B1, period: 0 }, Some(1)),
                lot(Source::New { like: B1, period: 1 }, None),
            ],
            packaging: vec![OutlookPackaging {
                period: 1,
                beer: PALE,
                format: CAN,
                drawn: volume,
                packaged: Volume(12_345),
            }],
            pours: vec![OutlookPour { period: 1, beer: PALE, volume }],
            uses: uses.map(|what| OutlookUse { period: 0, what, count: Count(2_000_001) }).to_vec(),
        },
    }
}

fn summary() -> PlanSummary {
    PlanSummary { objective: 123_456, bound: 123_460, status: "within gap".to_owned() }
}

fn findings(text: &str) -> Vec<Finding> {
    read_plan(&tiny(7), "plan.yaml", text).expect_err("not a plan")
}

fn codes(text: &str) -> Vec<&'static str> {
    findings(text).iter().map(|finding| finding.code).collect()
}

#[test]
fn every_kind_of_entry_comes_back_exactly() {
    let (case, plan) = (case(), plan());
    let text = write_plan(&case, &plan, &summary());
    assert_eq!(read_plan(&case, "plan.yaml", &text), Ok(plan.clone()), "{text}");
    assert_eq!(text, write_plan(&case, &plan, &summary()));
    let crlf = text.replace('\n', "\r\n");
    assert_eq!(read_plan(&case, "plan.yaml", &crlf), Ok(plan));
}

#[test]
fn another_yaml_reader_sees_the_same_names() {
    let case = case();
    let text = write_plan(&case, &plan(), &summary());
    let value: serde_yaml::Value = serde_yaml::from_str(&text).expect("YAML");
    assert_eq!(value["plan"].as_str(), Some(case.name.as_str()));
    let brew = &value["tasks"][0];
    assert_eq!(brew["beer"].as_str(), Some("null"));
    assert_eq!(brew["vessel"].as_str(), Some("yes"));
    assert_eq!(value["tasks"][7]["line"].as_str(), Some(case.lines[0].name.as_str()));
    assert_eq!(value["tasks"][7]["format"].as_str(), Some(case.formats[0].name.as_str()));
}

#[test]
fn the_text_is_what_a_brewer_would_write() {
    let mut case = tiny(7);
    let work = Work::Transfer { from: F1, to: B1, volume: hl(3_760), full: false };
    let tasks = vec![Task::new(Slot(1), work)];
    let plan = Plan { tasks, ..Plan::default() };
    let expected = "plan: Tiny week\nobjective: 1234.56 in money\nbound: 1234.60 in money\nstatus: within gap\n\
        tasks:\n  - {on: 2026-12-08, do: transfer, from: F1, to: B1, volume: 37.6 hL}\n\
        overtime: []\ndeliveries: []\n";
    assert_eq!(write_plan(&case, &plan, &summary()), expected);
    case.aim = Aim::Output(None);
    assert!(write_plan(&case, &plan, &summary()).contains("objective: 0.0123456 hL\n"));
}

#[test]
fn tasks_and_deliveries_are_put_in_order() {
    let text = "plan: x\ntasks:\n  - {on: 2026-12-30, do: dump, vessel: F1}\n\
        \x20 - {do: clean, vessel: F2, on: 2026-12-07}\n";
    let plan = read_plan(&tiny(7), "plan.yaml", text).expect("a plan");
    let slots: Vec<usize> = plan.tasks.iter().map(|task| task.slot.0).collect();
    assert_eq!(slots, [0, 23], "dates later than the planned days are read");
}

#[test]
fn all_faults_are_found_with_their_lines() {
    let text = "plan: x\n\
        tasks:\n\
        \x20 - {on: 2026-12-06, do: clean, vessel: F1}\n\
        \x20 - {on: 2026-12-07, do: brew, beer: Pael, vessel: F1, turns: two}\n\
        \x20 - {on: 2026-12-07, do: cleen, vessel: F1}\n\
        \x20 - {on: 2026-12-07, do: clean, vessel: F1, turns: 2}\n\
        \x20 - {on: tomorrow, do: transfer, from: F1, to: B1, volume: 37.6}\n\
        overtimes: []\n\
        deliveries:\n\
        \x20 - {order: due 4, order: due 5, volume: 1 hL}\n";
    let found: Vec<(&str, Option<usize>)> =
        findings(text).iter().map(|finding| (finding.code, finding.place.line)).collect();
    let expected = [
        ("V611", 8),
        ("V631", 3),
        ("V621", 4),
        ("V652", 4),
        ("V640", 5),
        ("V614", 6),
        ("V630", 7),
        ("V650", 7),
        ("V612", 10),
        ("V625", 10),
    ];
    assert_eq!(found, expected.map(|(code, line)| (code, Some(line))));
    let hint = |code: &str| findings(text).into_iter().find(|finding| finding.code == code)?.hint;
    assert_eq!(hint("V621").as_deref(), Some("did you mean Pale?"));
    assert_eq!(hint("V640").as_deref(), Some("did you mean clean?"));
    assert_eq!(hint("V611").as_deref(), Some("did you mean overtime?"));
}

#[test]
fn an_order_is_delivered_once_a_day() {
    let mut case = tiny(7);
    case.orders = vec![order(hl(1_000), 4, true)];
    let text = "plan: x\ndeliveries: [{order: due 4, volume: 1 hL}, {order: due 4, volume: 2 hL}]\n";
    let found = read_plan(&case, "plan.yaml", text).expect_err("twice");
    assert_eq!(found.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["V641"]);
    let text = text.replace("volume: 2 hL", "on: 2026-12-12, volume: 2 hL");
    let plan = read_plan(&case, "plan.yaml", &text).expect("on two days");
    assert_eq!(plan.deliveries.iter().map(|delivery| delivery.day).collect::<Vec<_>>(), [4, 5]);
}

#[test]
fn periods_follow_one_another_and_are_named_by_their_first_day() {
    let text = "plan: x\noutlook:\n  periods: [{from: 2026-12-14, to: 2026-12-16}, {from: 2026-12-16, to: 2026-12-20}]\n\
        \x20 uses: [{period: 2026-12-15, what: brew day, count: 1}]\n";
    assert_eq!(codes(text), ["V632", "V633"]);
}

#[test]
fn a_day_with_several_shifts_asks_for_the_shift() {
    let found =
        read_plan(&case(), "plan.yaml", "plan: x\ntasks: [{on: 2026-12-07, do: clean, vessel: yes}]\n");
    assert_eq!(found.expect_err("no shift")[0].code, "V613");
    let late = "plan: x\ntasks: [{on: 2026-12-07, shift: late, do: clean, vessel: yes}]\n";
    assert_eq!(read_plan(&case(), "plan.yaml", late).expect("a plan").tasks[0].slot, Slot(1));
}

#[test]
fn clock_times_are_times_of_day_after_the_start_of_the_shift() {
    let mut timed = plan();
    for (number, task) in timed.tasks.iter_mut().enumerate() {
        task.begins = Some(Minutes(number as i64 * 95));
    }
    let text = write_plan(&case(), &timed, &summary());
    assert_eq!(read_plan(&case(), "plan.yaml", &text).expect("a plan"), timed);
    // The shift of the tiny brewery starts at six: five o'clock is tomorrow's.
    let at =
        |time: &str| format!("plan: x\ntasks: [{{on: 2026-12-07, do: clean, vessel: F1, begins: {time}}}]\n");
    let begins = |time: &str| read_plan(&tiny(7), "plan.yaml", &at(time)).expect("a plan").tasks[0].begins;
    assert_eq!(begins("\"06:30\""), Some(Minutes(30)));
    assert_eq!(begins("\"05:00\""), Some(Minutes(23 * 60)));
    assert!(
        write_plan(&tiny(7), &read_plan(&tiny(7), "plan.yaml", &at("06:30")).expect("a plan"), &summary())
            .contains("begins: \"06:30\"")
    );
    for wrong in ["6:30", "24:00", "06:60", "early", "0630"] {
        assert_eq!(codes(&at(wrong)), ["V655"], "{wrong}");
    }
}

#[test]
fn hostile_text_is_refused() {
    assert_eq!(codes(&"x".repeat(LARGEST_FILE + 1)), ["V601"]);
    assert_eq!(codes("plan: \u{0}"), ["V602"]);
    assert_eq!(codes("plan: {"), ["V603"]);
    assert_eq!(codes("plan: &a x"), ["V604"]);
    assert_eq!(codes("a: &a [x, x]\nb: &b [*a, *a]"), ["V604"]);
    assert_eq!(codes("plan: !!str x"), ["V604"]);
    assert_eq!(codes("plan: x\n---\nplan: y"), ["V604"]);
    assert_eq!(codes("? [a]\n: b"), ["V604"]);
    assert_eq!(codes(""), ["V605"]);
    assert_eq!(codes("just text"), ["V610"]);
    assert_eq!(codes("{}"), ["V613"]);
    assert_eq!(codes("cellar: Another file\nvessels: []\n"), ["V613"]);
    assert_eq!(codes("plan: A title\nvessels: []\n"), ["V611"]);
    for nest in ["[", "{a: ", "- ", "? ", "[{"] {
        let text = nest.repeat(100_000);
        assert!(matches!(codes(&text).as_slice(), ["V603" | "V604"]), "{nest}");
    }
}

#[test]
fn mangled_plans_never_panic() {
    let (case, text) = (case(), write_plan(&case(), &plan(), &summary()));
    let ends: Vec<usize> = text.char_indices().map(|(position, _)| position).collect();
    for &end in &ends {
        let _ = read_plan(&case, "plan.yaml", &text[..end]);
        for put in ["-", "99999999999999999999", "\"", ": ", "}", "\u{1f37a}"] {
            let _ = read_plan(&case, "plan.yaml", &format!("{}{put}{}", &text[..end], &text[end..]));
        }
    }
    let wild =
        "plan: x\ntasks: [{on: 9999-12-31, do: brew, beer: null, vessel: yes, turns: 9223372036854775807}]";
    assert!(read_plan(&case, "plan.yaml", wild).is_err());
}
