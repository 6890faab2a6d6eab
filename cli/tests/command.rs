//! The real command on real files: exit codes, screens, documents and plan files.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

use common::{case, cases, cellarwright, run, text};

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {}", text(&output.stdout)))
}

#[track_caller]
fn assert_ends(output: &Output, code: i32) {
    assert_eq!(output.status.code(), Some(code), "{}{}", text(&output.stdout), text(&output.stderr));
}

#[track_caller]
fn assert_says(shown: &str, all: &[&str]) {
    for words in all {
        assert!(shown.contains(words), "{words} in\n{shown}");
    }
}

/// Every line within the width of the screen and free of escape codes.
#[track_caller]
fn assert_plain(screen: &str) {
    assert!(!screen.is_empty());
    for line in screen.lines() {
        assert!(line.chars().count() <= 100, "{} characters: {line}", line.chars().count());
        assert!(!line.contains('\u{1b}'), "{line:?}");
    }
}

/// A plan written by `plan --out`, in a folder of its own.
fn written(name: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.yaml").display().to_string();
    let output = run(&["plan", &case(name), "--quiet", "--out", &path]);
    assert_ends(&output, 0);
    (folder, path)
}

/// All brew plans below a folder.
fn brewplans(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            brewplans(&path, found);
        } else if path.file_name().is_some_and(|name| name == "brewplan.yaml") {
            found.push(path);
        }
    }
}

#[test]
fn a_plan_is_printed_in_full() {
    // The colour is asked for and still not given: nobody watches.
    let output = cellarwright(&["plan", &case("tiny/one-bright")])
        .env_remove("NO_COLOR")
        .env("CLICOLOR_FORCE", "1")
        .output()
        .unwrap();
    assert_ends(&output, 0);
    let screen = text(&output.stdout);
    assert_plain(&screen);
    let sections = ["proven", "Work by day", "Vessels by day", "Orders", "Slack", "objective", "Cautions"];
    assert_says(&screen, &sections);
    assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
}

#[test]
fn every_demo_fits_the_screen_and_its_plan_passes_the_check() {
    let mut all = Vec::new();
    brewplans(&cases(), &mut all);
    assert!(all.len() >= 8, "{all:?}");
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.yaml").display().to_string();
    for brewplan in all {
        let brewplan = brewplan.display().to_string();
        // Time enough on a busy machine too: with pins, no plan in time is no plan.
        let output = run(&["plan", &brewplan, "--seconds", "40", "--gap", "2%", "--out", &plan]);
        assert_ends(&output, 0);
        assert_plain(&text(&output.stdout));
        let checked = run(&["check", &brewplan, &plan]);
        assert_ends(&checked, 0);
        assert_plain(&text(&checked.stdout));
    }
}

#[test]
fn the_document_is_complete_and_only_seconds_differ() {
    let document = || {
        let output = run(&["plan", &case("tiny/one-bright"), "--json"]);
        assert_ends(&output, 0);
        let mut document = json(&output);
        assert!(document["seconds"].as_f64().unwrap() >= 0.0);
        document["seconds"] = Value::Null;
        document
    };
    let first = document();
    assert_eq!(first["status"], "optimal");
    // One bright tank on alternate days packages 40 hL twice in five days (worked by hand in the case's file).
    assert_eq!(first["packaged_hl"], 80.0);
    assert!(first["bound"].as_f64().unwrap() >= first["objective"].as_f64().unwrap() - 1e-6);
    assert!(first["gap"].is_number());
    for key in ["work", "orders", "slack", "breakdown", "vessels", "cautions", "outlook", "violations"] {
        assert!(first[key].is_array(), "{key}");
    }
    let packages = |row: &&Value| row["work"] == "package";
    assert_eq!(first["work"].as_array().unwrap().iter().filter(packages).count(), 2);
    assert_eq!(first, document());
}

#[test]
fn an_edited_plan_is_refused_with_its_rule() {
    let brewplan = case("tiny/one-bright");
    let (_folder, plan) = written("tiny/one-bright");
    let passed = run(&["check", &brewplan, &plan]);
    assert_ends(&passed, 0);
    assert_says(&text(&passed.stdout), &["keeps every rule"]);
    let document = json(&run(&["check", &brewplan, &plan, "--json"]));
    assert_eq!(document["status"], "passed");

    // All that is in the tank leaves it once: half as much again is more than there is.
    let sound = std::fs::read_to_string(&plan).unwrap();
    let packaging = sound.lines().find(|line| line.contains("package")).unwrap();
    let edited = sound.replacen(packaging, &packaging.replace("40 hL", "60 hL"), 1);
    assert_ne!(edited, sound);
    std::fs::write(&plan, edited).unwrap();
    let refused = run(&["check", &brewplan, &plan]);
    assert_ends(&refused, 1);
    let screen = text(&refused.stdout);
    assert_plain(&screen);
    assert_says(&screen, &["breaks", "R12", "vessel B1", "60 hL", "40 hL", "What the objective is made of"]);
    let output = run(&["check", &brewplan, &plan, "--json"]);
    assert_ends(&output, 1);
    let document = json(&output);
    assert_eq!(document["status"], "violations");
    let breaches = document["violations"].as_array().unwrap();
    assert!(breaches.iter().any(|breach| breach["rule"] == "R12"), "{breaches:?}");
}

/// A copy of a small case with a typo in each file.
fn misspelt(folder: &Path) -> String {
    let from = cases().join("tiny/one-bright");
    let brewplan = std::fs::read_to_string(from.join("brewplan.yaml")).unwrap();
    let cellar = std::fs::read_to_string(from.join("cellar.yaml")).unwrap();
    let path = folder.join("brewplan.yaml");
    std::fs::write(&path, brewplan.replace("may_wait: 14 d", "may_wiat: 14 d")).unwrap();
    std::fs::write(folder.join("cellar.yaml"), cellar.replace("turn: 20 hL", "turn: 20")).unwrap();
    path.display().to_string()
}

#[test]
fn every_fault_of_the_input_is_shown_and_nothing_is_planned() {
    let folder = tempfile::tempdir().unwrap();
    let brewplan = misspelt(folder.path());
    let output = run(&["plan", &brewplan]);
    assert_ends(&output, 2);
    assert!(output.stdout.is_empty());
    let shown = text(&output.stderr);
    assert_plain(&shown);
    let words = ["V110", "may_wiat", "did you mean `may_wait`?", "V301", "cellar.yaml", "brewplan.yaml"];
    assert_says(&shown, &words);
    let output = run(&["plan", &brewplan, "--json"]);
    assert_ends(&output, 2);
    let document = json(&output);
    assert_eq!(document["status"], "no_plan");
    let findings = document["findings"].as_array().unwrap();
    for code in ["V110", "V301"] {
        assert!(findings.iter().any(|finding| finding["code"] == code), "{code} in {findings:?}");
    }
}

#[test]
fn files_that_are_not_there_are_bad_input() {
    let brewplan = case("tiny/one-bright");
    let missing = run(&["plan", "no-such-folder/brewplan.yaml"]);
    assert_ends(&missing, 2);
    assert_says(&text(&missing.stderr), &["V101", "no-such-folder/brewplan.yaml"]);
    let no_plan = run(&["check", &brewplan, "no-such-plan.yaml"]);
    assert_ends(&no_plan, 2);
    assert_says(&text(&no_plan.stderr), &["no-such-plan.yaml"]);
    let no_folder = run(&["plan", &brewplan, "--out", "no-such-folder/plan.yaml"]);
    assert_ends(&no_folder, 2);
    assert!(no_folder.stdout.is_empty());
    assert_says(&text(&no_folder.stderr), &["no-such-folder/plan.yaml", "there is no"]);
}

#[test]
fn usage_and_version() {
    assert_ends(&run(&["plan"]), 2);
    assert_ends(&run(&["plan", "brewplan.yaml", "--gap", "lots"]), 2);
    assert_ends(&run(&["brew"]), 2);
    let version = run(&["--version"]);
    assert_ends(&version, 0);
    assert_says(&text(&version.stdout), &[env!("CARGO_PKG_VERSION")]);
    assert_plain(&text(&run(&["plan", "--help"]).stdout));
}

#[test]
fn the_program_is_written_for_other_solvers() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("program.mps");
    let named = path.display().to_string();
    assert_ends(&run(&["plan", &case("tiny/one-bright"), "--quiet", "--write-model", &named]), 0);
    assert_says(&std::fs::read_to_string(&path).unwrap(), &["ROWS", "COLUMNS"]);
    let wrong = run(&["plan", &case("tiny/one-bright"), "--write-model", "program.txt"]);
    assert_ends(&wrong, 2);
    assert_says(&text(&wrong.stderr), &[".mps"]);
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let mut child = cellarwright(&["plan", &case("tiny/one-bright")])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_ends(&output, 0);
    assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
}

#[cfg(unix)]
mod signals {
    use std::io::{Read, Write};
    use std::os::fd::OwnedFd;
    use std::os::unix::net::UnixStream;
    use std::process::Child;
    use std::time::{Duration, Instant};

    use super::*;

    /// Presses Ctrl-C so many times, some milliseconds apart: presses that come together count as one.
    fn interrupt(child: &Child, times: usize) {
        let presses = format!("for press in $(seq {times}); do kill -INT {}; sleep 0.002; done", child.id());
        assert!(Command::new("sh").args(["-c", &presses]).status().unwrap().success());
    }

    /// Whether the program has begun to listen for Ctrl-C; where the system does not tell, it has.
    fn listens(child: &Child) -> bool {
        let Ok(status) = std::fs::read_to_string(format!("/proc/{}/status", child.id())) else { return true };
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
        // SIGINT is signal 2.
        caught.is_none_or(|caught| u64::from_str_radix(caught.trim(), 16).unwrap() & 0b10 != 0)
    }

    /// A search that would go on for minutes, some seconds after it has begun to listen.
    fn long_search(stdout: Stdio) -> Child {
        let child =
            cellarwright(&["plan", &case("fennick-wharf"), "--gap", "0", "--seconds", "300", "--json"])
                .stdout(stdout)
                .stderr(Stdio::piped())
                .spawn()
                .unwrap();
        let begun = Instant::now();
        while !listens(&child) {
            assert!(begun.elapsed() < Duration::from_secs(60), "it does not listen");
            std::thread::sleep(Duration::from_millis(20));
        }
        std::thread::sleep(Duration::from_secs(2));
        child
    }

    /// Two ends of a stream; the one for writing takes no more until the other, which has so many bytes, is read.
    fn full_stream() -> (UnixStream, UnixStream, usize) {
        let (reader, mut writer) = UnixStream::pair().unwrap();
        writer.set_nonblocking(true).unwrap();
        let mut filled = 0;
        for piece in [&[b'.'; 4096][..], &[b'.'; 1][..]] {
            while let Ok(written) = writer.write(piece) {
                filled += written;
            }
        }
        writer.set_nonblocking(false).unwrap();
        (reader, writer, filled)
    }

    #[test]
    fn the_first_ctrl_c_prints_the_best_plan_so_far() {
        let child = long_search(Stdio::piped());
        let asked = Instant::now();
        interrupt(&child, 1);
        let output = child.wait_with_output().unwrap();
        assert!(asked.elapsed() < Duration::from_secs(60));
        assert_ends(&output, 0);
        let document = json(&output);
        assert_eq!(document["status"], "stopped");
        assert!(document["objective"].is_number());
        assert_eq!(document["violations"], Value::Array(Vec::new()));
    }

    #[test]
    fn the_second_ctrl_c_ends_at_once() {
        // After the first press the search may be over before the second is noticed. So the plan is given nobody who reads it:
        // however busy the machine, the program cannot end of its own accord, and nothing but another press ends it.
        let (mut reader, writer, filled) = full_stream();
        let mut child = long_search(Stdio::from(OwnedFd::from(writer)));
        let asked = Instant::now();
        let status = loop {
            if let Some(status) = child.try_wait().unwrap() {
                break status;
            }
            if asked.elapsed() > Duration::from_secs(60) {
                child.kill().unwrap();
            }
            interrupt(&child, 1);
        };
        let output = child.wait_with_output().unwrap();
        assert_eq!(status.code(), Some(130), "{}", text(&output.stderr));
        let mut printed = Vec::new();
        reader.read_to_end(&mut printed).unwrap();
        assert_eq!(printed.len(), filled, "nothing of a plan is printed");
    }
}

#[test]
fn pins_that_cannot_be_kept_are_named_with_the_rule_and_no_plan_is_given() {
    let brewplan = cases().join("tiny/pinned/too-early.yaml").display().to_string();
    let output = run(&["plan", &brewplan]);
    assert_ends(&output, 1);
    let screen = text(&output.stdout);
    assert_plain(&screen);
    assert_says(
        &screen,
        &[
            "pinned: transfer Plain Ale from F5 to B1 on Mon 7 Dec",
            "R04 No beer leaves",
            "ready on Wed 9 Dec",
        ],
    );
    assert!(!screen.contains("from F1"), "{screen}");
    let output = run(&["plan", &brewplan, "--json"]);
    assert_ends(&output, 1);
    let document = json(&output);
    assert_eq!(document["status"], "no_plan");
    assert_eq!(document["conflict"]["smallest"], true);
    assert_eq!(document["conflict"]["settled"].as_array().unwrap().len(), 1);
    assert_eq!(document["conflict"]["rules"][0]["rule"], "R04");
}

#[test]
fn pinned_work_is_marked_on_the_screen_and_in_the_document() {
    let output = run(&["plan", &case("tiny/pinned"), "--json"]);
    assert_ends(&output, 0);
    let document = json(&output);
    let pinned = document["work"].as_array().unwrap().iter().filter(|row| row["pinned"] == true).count();
    assert_eq!(pinned, 2);
    assert_says(&text(&run(&["plan", &case("tiny/pinned")]).stdout), &["(pinned)"]);
}

#[test]
fn pressure_says_where_numbers_conflict_and_never_that_a_vessel_is_fit() {
    let output = run(&["pressure", &case("tiny/spunding")]);
    assert_ends(&output, 0);
    let shown = text(&output.stdout);
    assert_says(
        &shown,
        &["Plain Lager", "2.50 volumes at 18.0 degC (64 degF)", "TOO HIGH", "within", "kegs", "EH40"],
    );
    assert!(shown.lines().all(|line| line.chars().count() <= 100), "{shown}");
    for word in ["safe", "Safe", "certified"] {
        assert!(!shown.contains(word), "{word}");
    }

    let output = run(&["pressure", "--json", &case("tiny/spunding")]);
    assert_ends(&output, 0);
    let document = json(&output);
    let vessels = &document["beers"][0]["vessels"];
    assert_eq!(vessels[0]["vessels"][0], "old");
    assert_eq!((&vessels[0]["within"], &vessels[1]["within"]), (&Value::Bool(false), &Value::Bool(true)));
    assert_eq!(vessels[0]["planned_at_most_kpa"], 73.1);
    assert_eq!(vessels[1]["planned_at_most_kpa"], 225.0);
    assert!((vessels[0]["packaging_needs_kpa"].as_f64().unwrap() - 69.0).abs() < 1.0);
    assert!(vessels[0]["left_kpa"].as_f64().unwrap() < -100.0);

    // Alike vessels are one row, and a line that wants more pressure than they give is named.
    let output = run(&["pressure", "--json", &case("tiny/filler-pressure")]);
    let document = json(&output);
    let vessels = &document["beers"][0]["vessels"];
    assert_eq!(vessels[0]["vessels"].as_array().unwrap().len(), 3);
    assert_eq!((&vessels[0]["does_not_feed"][0], &vessels[1]["feeds"][0]), (&"kegs".into(), &"kegs".into()));
    assert_ends(&run(&["pressure", "missing.yaml"]), 2);
}

#[test]
fn the_size_of_the_program_is_told_by_rule_and_adds_up() {
    let file = case("tiny/used-up-yeast");
    let output = run(&["plan", "--quiet", "--stats", &file]);
    assert_ends(&output, 0);
    let shown = text(&output.stdout);
    assert_plain(&shown);
    assert_says(&shown, &["Size of the program by rule", "columns touched", "R18", "together"]);
    let without = run(&["plan", "--quiet", &file]);
    assert!(!text(&without.stdout).contains("Size of the program"));

    let output = run(&["plan", "--quiet", "--json", &file]);
    assert_ends(&output, 0);
    let model = json(&output)["model"].clone();
    let rules = model["rules"].as_array().unwrap();
    for key in ["rows", "nonzeros"] {
        let sum: u64 = rules.iter().map(|row| row[key].as_u64().unwrap()).sum();
        assert_eq!(Some(sum), model[key].as_u64(), "{key}");
        assert!(sum > 0);
    }
    let line = shown.lines().find(|line| line.starts_with("together")).unwrap();
    let numbers: Vec<String> = ["rows", "nonzeros"].iter().map(|&key| model[key].to_string()).collect();
    assert_eq!(line.replace(' ', ""), format!("together{}", numbers.concat()));
    assert!(model["columns"].as_u64() >= model["integers"].as_u64());
}

#[test]
fn beer_that_is_ready_late_is_named_where_its_orders_are_late_or_short() {
    let output = run(&["plan", &case("tiny/stuck-fermentation")]);
    assert_ends(&output, 0);
    let screen = text(&output.stdout);
    assert_plain(&screen);
    let (short, late) = screen.split_once("1 order is delivered late").expect("one is short, one is late");
    for part in [short, late] {
        assert_says(part, &["why: the earliest Plain Ale (F1) can be packaged from Thu 10 Dec"]);
    }
    assert_says(short, &["SHORT 10.0 of 10.0 hL", "order shop"]);
    assert_says(late, &["LATE 20.0 of 20.0 hL", "order inn", "2 days"]);
}

#[test]
fn where_the_kegs_are_is_told_by_day() {
    let screen = text(&run(&["plan", "--quiet", &case("tiny/kegs-out")]).stdout);
    assert_plain(&screen);
    assert_says(&screen, &["steel kegs, full or out  piece-days", "clean steel kegs"]);
    let kegs = json(&run(&["plan", "--quiet", "--json", &case("tiny/kegs-out")]))["kegs"].clone();
    let thursday = &kegs[3];
    assert_eq!((&thursday["kegs"], &thursday["date"]), (&"steel kegs".into(), &"2026-12-10".into()));
    // Filled on Monday, delivered on Tuesday, back and filled again on Thursday: 20 are full, 40 out.
    let numbers = ["clean", "dirty", "full", "out"].map(|key| thursday[key].as_i64().unwrap());
    assert_eq!(numbers, [0, 0, 20, 40]);
    assert_eq!(kegs[1]["out"], 60);
    // A brew plan without kegs says nothing of them.
    assert_eq!(json(&run(&["plan", "--quiet", "--json", &case("tiny/one-bright")])).get("kegs"), None);
}

#[test]
fn packs_are_told_with_their_price_and_the_order_that_a_further_one_is_not_worth() {
    let screen = text(&run(&["plan", "--quiet", &case("tiny/whole-packs")]).stdout);
    assert_plain(&screen);
    let why = "why: one-way kegs were used up, and ordering more is not worth it in this plan";
    let order = "one-way kegs      24      1  144.00  Mon 7 Dec  Tue 8 Dec";
    assert_says(&screen, &["order         pieces  packs   money         by  needed on", order, why]);
    let document = json(&run(&["plan", "--quiet", "--json", &case("tiny/whole-packs")]));
    let row = &document["to_order"][0];
    assert_eq!((&row["pieces"], &row["packs"], &row["cost"]), (&24.into(), &1.into(), &144.0.into()));
    assert_eq!((&row["by"], &row["needed"]), (&"2026-12-07".into(), &"2026-12-08".into()));
}

#[test]
fn a_report_is_written_whole_by_plan_and_by_check_and_the_same_each_time() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str| folder.path().join(name).display().to_string();
    let (plan, first, second) = (file("plan.yaml"), file("first.html"), file("second.html"));
    let brewplan = case("tiny/by-the-clock");
    let output = run(&["plan", &brewplan, "--quiet", "--out", &plan, "--report", &first]);
    assert_ends(&output, 0);
    assert_ends(&run(&["plan", &brewplan, "--quiet", "--report", &second]), 0);
    let page = std::fs::read_to_string(&first).unwrap();
    assert_eq!(page, std::fs::read_to_string(&second).unwrap(), "the same input, the same bytes");
    assert_says(
        &page,
        &["The best there is", "Work by day", "<h3>cellar hand</h3>", "brewed from 08:00, 1 turn", "</html>"],
    );
    assert_ends(&run(&["check", &brewplan, &plan, "--report", &second]), 0);
    let checked = std::fs::read_to_string(&second).unwrap();
    assert_says(&checked, &["The plan keeps every rule", "<h3>cellar hand</h3>"]);
    // Nothing is left beside them.
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 3);
}

#[test]
fn a_report_that_cannot_be_written_is_said_before_the_search() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("none/report.html").display().to_string();
    let output = run(&["plan", &case("fennick-wharf"), "--quiet", "--report", &missing]);
    assert_ends(&output, 2);
    assert_says(&text(&output.stderr), &["there is no directory"]);
    assert!(output.stdout.is_empty());
}

#[test]
fn what_can_be_kept_up_is_told_by_the_week_with_its_bound_and_what_holds_it_back() {
    let case = case("tiny/six-fermenters-one-bright");
    let output = run(&["keep-up", &case, "--weeks", "2"]);
    assert_ends(&output, 0);
    let screen = text(&output.stdout);
    assert_plain(&screen);
    assert_says(
        &screen,
        &[
            "For ever, in a cycle of 2 weeks: 25.0 hL packaged a week.",
            "In no cycle of any length is a week worth more than 24.991 hL",
            "What holds it back, tightest first",
            "Fri 2nd week",
            "data plate",
        ],
    );
    let output = run(&["keep-up", &case, "--weeks", "2", "--json"]);
    assert_ends(&output, 0);
    let document = json(&output);
    assert_eq!(document["status"], "optimal");
    assert_eq!((document["weeks"].as_u64(), document["packaged_a_week_hl"].as_f64()), (Some(2), Some(25.0)));
    assert!(document["bound"].as_f64() >= document["objective"].as_f64());
    // Days of the cycle in place of dates.
    let dates: Vec<&str> =
        document["work"].as_array().unwrap().iter().filter_map(|row| row["date"].as_str()).collect();
    assert!(!dates.is_empty() && dates.iter().all(|date| date.ends_with(" week")), "{dates:?}");
}

#[test]
fn a_repeating_week_says_what_it_leaves_out_and_what_it_cannot_count() {
    let output = run(&["keep-up", &case("tiny/tank-inspected")]);
    assert_ends(&output, 0);
    assert_says(&text(&output.stdout), &["Left out of the brew plan", "beer in tank", "outages and upkeep"]);
    let output = run(&["keep-up", &case("tiny/serving-tanks"), "--weeks", "4"]);
    assert_ends(&output, 0);
    assert_plain(&text(&output.stdout));
    let output = run(&["keep-up", &case("tiny/keg-pool")]);
    assert_ends(&output, 2);
    assert_says(&text(&output.stderr), &["cannot count kegs that go round", "take `kegs`"]);
    let output = run(&["keep-up", &case("tiny/keg-pool"), "--json"]);
    assert_ends(&output, 2);
    assert_eq!(json(&output)["status"], "no_plan");
    assert_eq!(json(&output)["refused"].as_array().unwrap().len(), 1);
    assert_ends(&run(&["keep-up", &case("tiny/one-bright"), "--weeks", "3"]), 2);
}

#[test]
fn a_line_that_is_not_there_is_told_in_the_same_words_wherever_it_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let from = cases().join("tiny/one-bright");
    let [brewplan, cellar] = ["brewplan.yaml", "cellar.yaml"].map(|name| folder.path().join(name));
    let [valid, plant] =
        ["brewplan.yaml", "cellar.yaml"].map(|name| std::fs::read_to_string(from.join(name)).unwrap());
    let pin = "pinned: [{package: Plain Ale, on: 2026-12-08, from: B1, line: kans}]";
    let price = "prices: [{pump: kans, price: 100}]";
    let outage = "outages: [{line: kans, from: 2026-12-09}]";
    std::fs::write(&cellar, &plant).unwrap();
    for addition in [pin, price, outage] {
        std::fs::write(&brewplan, format!("{valid}\n{addition}\n")).unwrap();
        let output = run(&["plan", &brewplan.display().to_string()]);
        assert_ends(&output, 2);
        assert_says(
            &text(&output.stderr),
            &["V206", "there is no such line: kans", "one of the lines: kegs"],
        );
    }
    std::fs::write(&brewplan, valid).unwrap();
    std::fs::write(&cellar, plant.replace("line: kegs", "line: kans")).unwrap();
    let output = run(&["plan", &brewplan.display().to_string()]);
    assert_says(&text(&output.stderr), &["V206", "there is no such line: kans"]);
}
