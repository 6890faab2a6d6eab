//! The real command with hardly any time, or stopped by Ctrl-C at any moment: there is a plan, the check passes it, and its bound is true.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::process::Output;

use serde_json::Value;

use common::{cases, cellarwright, run, text};

/// A brew plan below the cases.
fn brewplan(name: &str) -> String {
    cases().join(name).display().to_string()
}

fn json(output: &Output) -> Value {
    assert_eq!(output.status.code(), Some(0), "{}{}", text(&output.stdout), text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn number(document: &Value, key: &str) -> Option<f64> {
    document[key].as_f64()
}

/// What a plan that was found in enough time is worth.
fn worth(name: &str) -> f64 {
    number(&json(&run(&["plan", &brewplan(name), "--quiet", "--json"])), "objective").unwrap()
}

/// A plan file passes the check as a command of its own, and is worth what the document says; no plan is worth more than its bound.
#[track_caller]
fn is_true(name: &str, document: &Value, plan: &str, best: f64) {
    let objective = number(document, "objective").unwrap();
    let checked = json(&run(&["check", &brewplan(name), plan, "--json"]));
    assert_eq!(checked["violations"], Value::Array(Vec::new()), "{name}");
    assert!((number(&checked, "objective").unwrap() - objective).abs() < 0.005, "{name}");
    if let Some(bound) = number(document, "bound") {
        let cent = 0.01 + 1e-6 * best.abs();
        assert!(bound >= objective - cent && bound >= best - cent, "{name}: {objective}, {best} to {bound}");
        let gap = (bound - objective) / objective.abs().max(0.01);
        assert!((number(document, "gap").unwrap() - gap).abs() < 1e-3 * gap.abs().max(1.0), "{name}");
    }
}

#[test]
fn at_any_limit_from_a_fifth_of_a_second_there_is_a_plan_better_than_none() {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.yaml").display().to_string();
    for name in [
        "brewpub/brewplan.yaml",
        "fennick-wharf/brewplan.yaml",
        "fennick-wharf-in-full/brewplan.yaml",
        "tiny/pinned/brewplan.yaml",
        "scale/town-1/next-week.yaml",
        "scale/regional-1/next-week.yaml",
    ] {
        let best = worth(name);
        let nothing =
            number(&json(&run(&["plan", &brewplan(name), "--seconds", "0.000001", "--json"])), "objective");
        for seconds in ["0.2", "0.5", "1"] {
            let output = run(&["plan", &brewplan(name), "--seconds", seconds, "--json", "--out", &plan]);
            let document = json(&output);
            is_true(name, &document, &plan, best);
            assert!(number(&document, "objective") >= nothing, "{name}: more time is not worth less");
        }
    }
}

#[cfg(unix)]
mod stopped {
    use std::process::{Child, Command, Stdio};
    use std::time::{Duration, Instant};

    use super::*;

    /// Numbers that look random, from 0 to 1.
    struct Moments(u64);

    impl Moments {
        fn next(&mut self) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 11) as f64 / (1u64 << 53) as f64
        }
    }

    /// Whether the program has begun to listen for Ctrl-C; where the system does not tell, it has.
    fn listens(child: &Child) -> bool {
        let Ok(status) = std::fs::read_to_string(format!("/proc/{}/status", child.id())) else { return true };
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
        // SIGINT is signal 2.
        caught.is_none_or(|caught| u64::from_str_radix(caught.trim(), 16).unwrap() & 0b10 != 0)
    }

    /// The last plan that the program told of.
    fn told(stderr: &str) -> Option<f64> {
        let last = stderr.lines().rev().find_map(|line| line.split("best plan ").nth(1))?;
        let amount: String = last
            .chars()
            .take_while(|&sign| sign != ',')
            .filter(|sign| "-.0123456789".contains(*sign))
            .collect();
        amount.trim_end_matches('.').parse().ok()
    }

    /// Presses Ctrl-C at a moment. Gives the seconds until the command ended, and what it told of last.
    fn stop_at(name: &str, moment: f64, plan: &str) -> (Value, f64, Option<f64>) {
        let arguments =
            ["plan", &brewplan(name), "--gap", "0", "--seconds", "300", "--json", "--verbose", "--out", plan];
        let child = cellarwright(&arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        let begun = Instant::now();
        while !listens(&child) {
            assert!(begun.elapsed() < Duration::from_secs(60), "it does not listen");
            std::thread::sleep(Duration::from_millis(2));
        }
        std::thread::sleep(Duration::from_secs_f64(moment));
        let asked = Instant::now();
        let pressed = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
        let output = child.wait_with_output().unwrap();
        assert!(pressed.success() || output.status.success());
        (json(&output), asked.elapsed().as_secs_f64(), told(&text(&output.stderr)))
    }

    #[test]
    fn ctrl_c_at_fifty_moments_gives_the_best_plan_so_far_and_a_true_bound() {
        let folder = tempfile::tempdir().unwrap();
        let plan = folder.path().join("plan.yaml").display().to_string();
        let names = [
            "fennick-wharf/brewplan.yaml",
            "fennick-wharf-in-full/brewplan.yaml",
            "brewpub/brewplan.yaml",
            "tiny/pinned/brewplan.yaml",
            "scale/town-1/next-week.yaml",
        ];
        let best: Vec<f64> = names.iter().map(|name| worth(name)).collect();
        let mut moments = Moments(50);
        let mut longest: f64 = 0.0;
        for turn in 0..50 {
            let place = turn % names.len();
            let name = names[place];
            // Most moments are early ones, when there is least to show.
            let moment = 4.0 * moments.next().powi(2);
            let (document, seconds, told) = stop_at(name, moment, &plan);
            is_true(name, &document, &plan, best[place]);
            longest = longest.max(seconds);
            let given = number(&document, "objective").unwrap();
            // What is told of is counted in whole beer and money, what is given in whole minutes, packages and cents.
            let least = told.map_or(f64::NEG_INFINITY, |told| told - 1e-4 * told.abs() - 1.0);
            assert!(given >= least, "{name} at {moment:.3} s: told of {told:?}, given {given}");
        }
        println!("answered after {longest:.2} s at most");
        assert!(longest < 10.0, "answered after {longest:.1} s");
    }
}
