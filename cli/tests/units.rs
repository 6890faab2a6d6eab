//! US units on everything that is shown, on the real binary.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::path::Path;

use serde_json::Value;

use common::{case, cases, run, text};

fn document(arguments: &[&str]) -> Value {
    let output = run(arguments);
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {}", text(&output.stderr)))
}

fn screen(arguments: &[&str]) -> String {
    text(&run(arguments).stdout)
}

/// How a metric number is in US units by hand: its key, and the number.
fn by_hand(key: &str, value: f64) -> Option<(String, f64)> {
    // 27 CFR 25.11: 117.347765304 L in a barrel; NIST Special Publication 811: 6.894757 kPa in a psi, 3.785411784 L in a gallon.
    let ends = [
        ("_hl", "_bbl", 1.173_477_653_04),
        ("_litres", "_gal", 3.785_411_784),
        ("_kpa", "_psi", 6.894_757),
        ("_metres", "_ft", 0.304_8),
    ];
    ends.iter().find_map(|(end, other, factor)| {
        let start = key.strip_suffix(end)?;
        Some((format!("{start}{other}"), value / factor))
    })
}

/// Compares two documents key by key; counts the numbers that differ by their unit.
fn compare(metric: &Value, us: &Value, place: &str, compared: &mut usize) {
    match (metric, us) {
        (Value::Object(metric), Value::Object(us)) => {
            for (key, value) in metric {
                // Text of the duty record, beside hectolitres; in barrels the number itself has it.
                if key.ends_with("_bbl") && value.is_string() && key != "package_bbl" {
                    continue;
                }
                let place = format!("{place}.{key}");
                let is_timed = key == "seconds";
                match value.as_f64().and_then(|number| by_hand(key, number)) {
                    Some((key, wanted)) => {
                        let found = us.get(&key).and_then(Value::as_f64);
                        let found = found.unwrap_or_else(|| panic!("{key} for {place}"));
                        let near = if key.ends_with("_bbl") { 6e-6 } else { 0.06 };
                        let near = if key.ends_with("_ft") { 0.6 } else { near };
                        assert!((found - wanted).abs() <= near, "{place}: {found} for {wanted}");
                        *compared += 1;
                    }
                    None if is_timed => {}
                    None => {
                        let key = by_hand(key, 0.0).map_or_else(|| key.clone(), |(key, _)| key);
                        let found = us.get(&key).unwrap_or_else(|| panic!("{place}: no {key}"));
                        compare(value, found, &place, compared);
                    }
                }
            }
        }
        (Value::Array(metric), Value::Array(us)) => {
            assert_eq!(metric.len(), us.len(), "{place}");
            for (number, (metric, us)) in metric.iter().zip(us).enumerate() {
                compare(metric, us, &format!("{place}[{number}]"), compared);
            }
        }
        (Value::Number(metric), Value::Number(us)) => {
            assert_eq!(metric.as_f64(), us.as_f64(), "{place}: the unit is not one that changes");
        }
        (Value::String(_), Value::String(_))
        | (Value::Bool(_), Value::Bool(_))
        | (Value::Null, Value::Null) => {}
        _ => panic!("{place}: {metric} and {us}"),
    }
}

#[test]
fn every_number_of_a_document_is_the_metric_one_in_other_units() {
    for (name, least) in [("tiny/tap-and-kegs", 20), ("orders/late", 20)] {
        let plan = ["plan", &case(name), "--quiet", "--json"];
        let metric = document(&plan);
        let us = document(&[&plan[..], &["--units", "us"]].concat());
        let mut compared = 0;
        compare(&metric, &us, "", &mut compared);
        assert!(compared > least, "{name}: {compared}");
        assert_eq!((&metric["units"]["volume"], &us["units"]["volume"]), (&"hL".into(), &"bbl".into()));
        assert!(!us.to_string().contains("_hl\""), "{us}");
        assert_eq!(
            document(&[&plan[..], &["--units", "metric"]].concat())["packaged_hl"],
            metric["packaged_hl"]
        );
    }
    let pressure = ["pressure", &case("tiny/spunding"), "--json"];
    let mut compared = 0;
    let us = document(&[&pressure[..], &["--units", "us"]].concat());
    compare(&document(&pressure), &us, "", &mut compared);
    assert!(compared > 8, "{compared}");
}

#[test]
fn screens_speak_of_us_units_alone() {
    let name = case("tiny/tap-and-kegs");
    let shown = screen(&["plan", &name, "--quiet", "--units", "us"]);
    // 4 hL are 3.40867 bbl, 5.28 gal are 20 L: worked by hand.
    for words in ["T1 (3.41 bbl)", "on tap: Wharf Pale", "asked bbl", "5.3 gal together", "kegs for the quay"]
    {
        assert!(shown.contains(words), "{words} in\n{shown}");
    }
    for metric in ["hL", "kPa", "degC"] {
        assert!(!shown.contains(metric), "{metric} in\n{shown}");
    }
    let kept = screen(&[
        "keep-up",
        &case("tiny/six-fermenters-one-bright"),
        "--quiet",
        "--weeks",
        "2",
        "--units",
        "us",
    ]);
    // 49.974 hL a cycle are 42.586 bbl.
    for words in ["21.3 bbl packaged a week", "42.586 bbl a cycle", "Kept up every week, bbl", "of 8.52 bbl"]
    {
        assert!(kept.contains(words), "{words} in\n{kept}");
    }
    assert!(!kept.contains("hL"), "{kept}");
    let pressure = screen(&["pressure", &case("tiny/spunding"), "--units", "us"]);
    for words in ["at 0 ft", "psi, gauge", "at 64.4 degF (18.0 degC) need 26.5 psi (183.0 kPa)"] {
        assert!(pressure.contains(words), "{words} in\n{pressure}");
    }
    let rule = screen(&["rule", "R02", &name, "--units", "us"]);
    assert!(rule.contains("3.41 bbl") && !rule.contains("hL"), "{rule}");
}

#[test]
fn the_brew_plan_says_the_units_and_the_option_comes_first() {
    let place = tempfile::tempdir().unwrap();
    let from = cases().join("tiny/tap-and-kegs");
    for file in ["cellar.yaml", "brewplan.yaml"] {
        let mut yaml = std::fs::read_to_string(from.join(file)).unwrap();
        if file == "brewplan.yaml" {
            yaml += "\nshow_units: us\n";
        }
        std::fs::write(place.path().join(file), yaml).unwrap();
    }
    let brewplan = place.path().join("brewplan.yaml").display().to_string();
    let by_key = screen(&["rule", "R02", &brewplan]);
    assert_eq!(by_key, screen(&["rule", "R02", &case("tiny/tap-and-kegs"), "--units", "us"]));
    let by_option = screen(&["rule", "R02", &brewplan, "--units", "metric"]);
    assert_eq!(by_option, screen(&["rule", "R02", &case("tiny/tap-and-kegs")]));
    assert!(by_option.contains("4 hL"), "{by_option}");
    // What is wrong is told in them too: 4 hL are 3.41 bbl.
    let cellar = place.path().join("cellar.yaml");
    let yaml = std::fs::read_to_string(&cellar).unwrap();
    std::fs::write(&cellar, yaml.replace("    least: 1 hL", "    least: 5 hL")).unwrap();
    for (units, limit) in
        [("us", "at most what it holds, 3.41 bbl"), ("metric", "at most what it holds, 4 hL")]
    {
        let output = run(&["plan", &brewplan, "--units", units]);
        assert_eq!(output.status.code(), Some(2));
        let told = text(&output.stderr);
        assert!(told.contains(limit), "{told}");
    }
}

#[test]
fn files_for_people_are_in_us_units_and_the_plan_file_stays_as_it_is() {
    let place = tempfile::tempdir().unwrap();
    let name = case("orders/late");
    let write = |folder: &str, units: &str| {
        let at = |file: &str| place.path().join(folder).join(file).display().to_string();
        std::fs::create_dir(place.path().join(folder)).unwrap();
        let files = [at("plan.yaml"), at("report.html"), at("csv"), at("calendar")];
        let [plan, report, csv, calendar] = &files;
        let mut arguments = vec!["plan", &name, "--quiet", "--units", units, "--out", plan];
        arguments.extend(["--report", report, "--csv", csv, "--calendar", calendar]);
        assert_eq!(run(&arguments).status.code(), Some(0));
        files
    };
    let (us, metric) = (write("us", "us"), write("metric", "metric"));
    let read = |file: &str| std::fs::read_to_string(file).unwrap();
    assert_eq!(
        read(&us[0]),
        read(&metric[0]),
        "a plan file is read back to the same plan, so it stays exact"
    );
    assert_eq!(run(&["check", &name, &us[0], "--units", "us"]).status.code(), Some(0));
    let mut texts = vec![read(&us[1])];
    for folder in &us[2..] {
        for entry in std::fs::read_dir(Path::new(folder)).unwrap() {
            texts.push(read(&entry.unwrap().path().display().to_string()));
        }
    }
    assert!(texts.len() > 6, "{}", texts.len());
    for text in &texts {
        assert!(!text.contains("hL"), "{text}");
    }
    let all = texts.concat();
    for words in ["All in bbl", "volume, bbl", "bbl"] {
        assert!(all.contains(words), "{words}");
    }
    assert!(read(&metric[1]).contains("All in hL"));
}

#[test]
fn a_broken_rule_is_told_in_the_units_asked_for() {
    let place = tempfile::tempdir().unwrap();
    let name = case("tiny/one-bright");
    let plan = place.path().join("plan.yaml").display().to_string();
    assert_eq!(run(&["plan", &name, "--quiet", "--out", &plan]).status.code(), Some(0));
    let text_of_plan = std::fs::read_to_string(&plan).unwrap();
    let line = text_of_plan.lines().find(|line| line.contains("transfer") && line.contains("hL")).unwrap();
    let (before, after) = line.split_once(" hL").unwrap();
    let number = before.rsplit(' ').next().unwrap();
    let less = format!("{}1{} hL{after}", before.strip_suffix(number).unwrap(), "");
    std::fs::write(&plan, text_of_plan.replacen(line, &less, 1)).unwrap();
    let metric = run(&["check", &name, &plan]);
    let us = run(&["check", &name, &plan, "--units", "us"]);
    assert_eq!((metric.status.code(), us.status.code()), (Some(1), Some(1)));
    assert!(text(&metric.stdout).contains("hL in the plan, allowed"), "{}", text(&metric.stdout));
    let shown = text(&us.stdout);
    assert!(shown.contains("in the plan, allowed") && !shown.contains("hL"), "{shown}");
    assert!(shown.contains("bbl in the plan") || shown.contains("gal in the plan"), "{shown}");
}
