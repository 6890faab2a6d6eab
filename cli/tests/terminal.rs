//! What a person at a terminal, or a packager, uses besides plans: rules, completions, manual pages, steps of the search, watching.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use std::io::Read;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use common::{case, cellarwright, run, text};

#[test]
fn a_rule_is_explained_with_the_numbers_of_the_case() {
    let shown = run(&["rule", "r06", &case("fennick-wharf")]);
    assert_eq!(shown.status.code(), Some(0));
    let shown = text(&shown.stdout);
    for words in ["R06", "Why:", "In Week of 7 December, Fennick Wharf:", "B1, B2: clean 2 h", "Source:"] {
        assert!(shown.contains(words), "{words} in\n{shown}");
    }
    let all = text(&run(&["rule"]).stdout);
    assert_eq!(all.lines().filter(|line| line.starts_with('R')).count(), 27, "{all}");
    let wrong = run(&["rule", "R28"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(text(&wrong.stderr).contains("R01 to R27"));
}

#[test]
fn completions_and_manual_pages_know_every_command_and_option_of_plan() {
    for shell in ["bash", "zsh", "fish", "powershell"] {
        let output = run(&["completions", shell]);
        assert_eq!(output.status.code(), Some(0));
        let script = text(&output.stdout);
        for word in ["plan", "check", "pressure", "rule", "new", "write-model", "watch", "verbose"] {
            assert!(script.contains(word), "{word} in the completions of {shell}");
        }
    }
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("man1").display().to_string();
    assert_eq!(run(&["man", &folder]).status.code(), Some(0));
    let page = |name: &str| std::fs::read_to_string(Path::new(&folder).join(name)).unwrap();
    assert!(page("cellarwright.1").contains("cellarwright\\-plan(1)"));
    assert!(page("cellarwright-plan.1").contains("\\-\\-watch"));
    let before = page("cellarwright-plan.1");
    assert_eq!(run(&["man", &folder]).status.code(), Some(0));
    assert_eq!(page("cellarwright-plan.1"), before, "the same bytes again");
}

#[test]
fn bash_takes_its_completions() {
    let script = text(&run(&["completions", "bash"]).stdout);
    let ask = format!(
        "{script}\nCOMP_WORDS=(cellarwright plan --wa)\nCOMP_CWORD=2\n_cellarwright cellarwright --wa plan\necho \"${{COMPREPLY[@]}}\""
    );
    let output = Command::new("bash").args(["-c", &ask]).output().unwrap();
    assert_eq!(text(&output.stdout).trim(), "--watch", "{}", text(&output.stderr));
}

/// PowerShell itself is on few machines that build packages, so what it would read is read here: every offer a call with three quoted texts, in a
/// block of its command. It takes typographic quotation marks for plain ones, so a help text with one would end too early.
#[test]
fn what_powershell_reads_is_sound_and_offers_the_options_of_each_command() {
    let script = text(&run(&["completions", "powershell"]).stdout);
    assert!(
        !script.contains(['\u{2018}', '\u{2019}', '\u{201a}', '\u{201b}']),
        "a quotation mark to PowerShell"
    );
    let (mut depth, mut blocks, mut offers) = (0_i32, Vec::new(), Vec::new());
    for line in script.lines().map(str::trim) {
        // Doubled, a quotation mark stands for itself.
        let quoted: Vec<&str> = line.split('\'').collect();
        assert_eq!(quoted.len() % 2, 1, "a text that does not end: {line}");
        let outside: String = quoted.iter().step_by(2).copied().collect();
        depth += outside.matches('{').count() as i32 - outside.matches('}').count() as i32;
        assert!(depth >= 0, "{line}");
        if let Some(command) = line.strip_prefix("'cellarwright").and_then(|rest| rest.strip_suffix("' {")) {
            blocks.push(command.trim_start_matches(';').to_owned());
        }
        if let Some(call) = line.strip_prefix("[CompletionResult]::new(") {
            let shape = call.replace("\'\'", "");
            let texts: Vec<&str> = shape.split('\'').collect();
            assert!(texts.len() == 7 && texts[6] == ")", "{line}");
            assert!(texts[4].starts_with(", [CompletionResultType]::Parameter"), "{line}");
            offers.push((blocks.last().unwrap().clone(), texts[1].to_owned()));
        }
    }
    assert_eq!(depth, 0);
    for (command, option) in [("", "plan"), ("plan", "--watch"), ("why", "--order"), ("study;run", "--part")]
    {
        let offer = (command.to_owned(), option.to_owned());
        assert!(offers.contains(&offer), "{offer:?} in {blocks:?}");
    }
    assert!(!offers.contains(&("why".to_owned(), "--watch".to_owned())));
}

/// Whether a shell is there; where it is not, that is said aloud, and with `CI=true` a failure.
fn has_shell(name: &str) -> bool {
    if Command::new(name).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok() {
        return true;
    }
    let missing = format!("no {name} is installed: IT HAS NOT TAKEN ITS COMPLETIONS");
    assert!(std::env::var("CI").as_deref() != Ok("true"), "{missing}");
    // Not by `eprintln!`, which the test runner keeps back.
    drop(std::io::Write::write_all(&mut std::io::stderr(), format!("\n*** {missing} ***\n").as_bytes()));
    false
}

/// The completions of a shell in a file of a folder.
fn completions(shell: &str, folder: &Path) -> String {
    let file = folder.join(shell);
    std::fs::write(&file, run(&["completions", shell]).stdout).unwrap();
    file.display().to_string()
}

#[test]
fn fish_takes_its_completions() {
    if !has_shell("fish") {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let file = completions("fish", place.path());
    let ask = format!("source {file}; complete -C'cellarwright plan --wa'; complete -C'cellarwright lev'");
    let output = Command::new("fish").args(["--no-config", "-c", &ask]).output().unwrap();
    let offered: Vec<String> =
        text(&output.stdout).lines().filter_map(|line| line.split('\t').next().map(str::to_owned)).collect();
    assert_eq!(offered, ["--watch", "levers"], "{}", text(&output.stderr));
}

#[test]
fn zsh_takes_its_completions() {
    if !has_shell("zsh") {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let file = completions("zsh", place.path());
    // `_arguments` is given every option; in its place one that prints them.
    let ask = format!(
        "autoload -U compinit; compinit -u -D; source {file}; print -r -- ${{_comps[cellarwright]}}; \
         _arguments() {{ print -rl -- \"$@\" }}; words=(cellarwright plan --wa); CURRENT=3; _cellarwright"
    );
    let output = Command::new("zsh").args(["-f", "-c", &ask]).output().unwrap();
    let told = text(&output.stdout);
    assert_eq!(told.lines().next(), Some("_cellarwright"), "{}", text(&output.stderr));
    assert!(told.contains("_cellarwright_commands") && told.contains("--version"), "{told}");
    assert!(text(&output.stderr).is_empty(), "{}", text(&output.stderr));
}

#[test]
fn verbose_tells_the_steps_of_the_search_and_quiet_tells_nothing() {
    let path = case("tiny/two-brights");
    let verbose = run(&["plan", &path, "--verbose"]);
    assert_eq!(verbose.status.code(), Some(0));
    let steps = text(&verbose.stderr);
    assert!(steps.lines().next().unwrap().contains("7 vessels"), "{steps}");
    assert!(steps.contains("best plan") && steps.contains("bound"), "{steps}");
    let quiet = run(&["plan", &path, "--quiet"]);
    assert_eq!(text(&quiet.stderr), "");
    assert_eq!(run(&["plan", &path, "--quiet", "--verbose"]).status.code(), Some(2));
}

/// What a running command has written so far.
#[derive(Clone, Default)]
struct Heard(Arc<Mutex<Vec<u8>>>);

impl Heard {
    fn listen(mut from: impl Read + Send + 'static) -> Self {
        let heard = Self::default();
        let into = heard.clone();
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(length @ 1..) = from.read(&mut bytes) {
                into.0.lock().unwrap().extend_from_slice(&bytes[..length]);
            }
        });
        heard
    }

    fn times(&self, words: &str) -> usize {
        String::from_utf8_lossy(&self.0.lock().unwrap()).matches(words).count()
    }

    /// Waits until words were written so many times.
    #[track_caller]
    fn wait_for(&self, words: &str, times: usize) {
        let began = Instant::now();
        while self.times(words) < times {
            let so_far = String::from_utf8_lossy(&self.0.lock().unwrap()).into_owned();
            assert!(began.elapsed() < Duration::from_secs(60), "{words} in\n{so_far}");
            std::thread::sleep(Duration::from_millis(50));
        }
    }
}

/// Ends the command even if a test fails.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        drop(self.0.kill());
        drop(self.0.wait());
    }
}

#[cfg(unix)]
#[test]
fn watching_plans_again_survives_a_broken_file_and_ends_cleanly() {
    let place = tempfile::tempdir().unwrap();
    let from = case("tiny/two-brights");
    let from = Path::new(&from).parent().unwrap();
    for name in ["brewplan.yaml", "cellar.yaml"] {
        std::fs::copy(from.join(name), place.path().join(name)).unwrap();
    }
    let brewplan = place.path().join("brewplan.yaml");
    let valid = std::fs::read_to_string(&brewplan).unwrap();
    let mut command = cellarwright(&["plan", &brewplan.display().to_string(), "--watch", "--quiet"]);
    let mut running = Running(command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap());
    let screen = Heard::listen(running.0.stdout.take().unwrap());
    let told = Heard::listen(running.0.stderr.take().unwrap());
    told.wait_for("waiting for a file to change", 1);
    screen.wait_for("Vessels by day", 1);
    // Broken, as while somebody is typing: told of, and waited for.
    std::fs::write(&brewplan, valid.replace("starts:", "starts")).unwrap();
    told.wait_for("waiting for a file to change", 2);
    assert_eq!((told.times("has changed: planning again"), told.times("V100")), (1, 1));
    assert_eq!(screen.times("Vessels by day"), 1);
    // Mended, with another title.
    std::fs::write(&brewplan, valid.replacen("brewplan: ", "brewplan: Once more, ", 1)).unwrap();
    screen.wait_for("Once more, ", 1);
    told.wait_for("waiting for a file to change", 3);
    let process = running.0.id().to_string();
    assert!(Command::new("kill").args(["-INT", &process]).status().unwrap().success());
    let began = Instant::now();
    let ended = loop {
        if let Some(status) = running.0.try_wait().unwrap() {
            break status;
        }
        assert!(began.elapsed() < Duration::from_secs(20), "it does not end");
        std::thread::sleep(Duration::from_millis(50));
    };
    assert_eq!(ended.code(), Some(0));
}
