//! A real browser, driven by its command line: what a page says on the console, how wide it is, and how it prints.

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// Names under which systems install it.
const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "chrome"];

/// Longer than any page takes, on a machine that does other work too.
const PATIENCE: Duration = Duration::from_secs(120);

fn answers(name: &str, argument: &str) -> bool {
    Command::new(name).arg(argument).stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok()
}

/// The browser, and poppler's readers of PDF; none where one is missing, which is said aloud and with `CI=true` a failure.
pub fn found() -> Option<&'static str> {
    let browser = NAMES.into_iter().find(|name| answers(name, "--version"));
    let readers = answers("pdftotext", "-v") && answers("pdfinfo", "-v");
    let missing = match (browser, readers) {
        (Some(browser), true) => return Some(browser),
        (None, _) => "no Chromium is installed: NO BROWSER HAS LOOKED AT THE REPORT",
        (Some(_), false) => "poppler-utils is not installed: NOBODY HAS LOOKED AT THE PRINTED REPORT",
    };
    assert!(std::env::var("CI").as_deref() != Ok("true"), "{missing}");
    // Not by `eprintln!`, which the test runner keeps back.
    drop(std::io::Write::write_all(&mut std::io::stderr(), format!("\n*** {missing} ***\n").as_bytes()));
    None
}

/// Runs the browser on a page.
fn run(browser: &str, arguments: &[&str], page: &Path) -> Output {
    let profile = tempfile::tempdir().unwrap();
    let mut command = Command::new(browser);
    command.args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-extensions", "--no-first-run"]);
    command.arg(format!("--user-data-dir={}", profile.path().display())).args(arguments);
    command.arg(format!("file://{}", page.display()));
    let (out, errors) = (profile.path().join("out"), profile.path().join("errors"));
    command.stdin(Stdio::null()).stdout(std::fs::File::create(&out).unwrap());
    let mut child = command.stderr(std::fs::File::create(&errors).unwrap()).spawn().unwrap();
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("{browser} did not end: {arguments:?}");
        }
        std::thread::sleep(Duration::from_millis(50));
    };
    let (stdout, stderr) = (std::fs::read(&out).unwrap(), std::fs::read(&errors).unwrap());
    assert!(status.success(), "{}", String::from_utf8_lossy(&stderr));
    Output { status, stdout, stderr }
}

/// A page as the browser has understood it.
pub struct Shown {
    /// The document, written out again.
    pub document: String,
    /// What was said on the console.
    pub messages: Vec<String>,
}

/// Opens a page in a window so many pixels wide.
pub fn show(browser: &str, page: &Path, width: u32, further: &[&str]) -> Shown {
    let window = format!("--window-size={width},900");
    let mut arguments = vec!["--enable-logging=stderr", "--hide-scrollbars", &window, "--dump-dom"];
    arguments.extend(further);
    let output = run(browser, &arguments, page);
    let errors = String::from_utf8_lossy(&output.stderr).into_owned();
    Shown {
        document: String::from_utf8(output.stdout).unwrap(),
        messages: errors.lines().filter(|line| line.contains("CONSOLE")).map(str::to_owned).collect(),
    }
}

/// A printed page.
#[derive(Debug)]
pub struct Sheet {
    /// Its text, by lines that are not empty.
    pub lines: Vec<String>,
    /// Width and height in points.
    pub size: (f64, f64),
}

/// Prints a page as it asks to be printed, and reads the sheets with poppler.
pub fn print(browser: &str, page: &Path) -> Vec<Sheet> {
    let file = page.with_extension("pdf");
    run(browser, &["--no-pdf-header-footer", &format!("--print-to-pdf={}", file.display())], page);
    let output = |command: &mut Command| {
        let output = command.output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let text = output(Command::new("pdftotext").arg("-layout").arg(&file).arg("-"));
    let sizes = output(Command::new("pdfinfo").args(["-f", "1", "-l", "999"]).arg(&file));
    let sizes = sizes.lines().filter(|line| line.starts_with("Page ") && line.contains(" size:"));
    let sizes = sizes.map(|line| {
        let numbers: Vec<f64> = line.split([' ', ':']).filter_map(|word| word.parse().ok()).collect();
        (numbers[1], numbers[2])
    });
    let pages = text.split('\u{c}').map(|page| {
        page.lines()
            .map(str::trim)
            .filter(|line| !line.is_empty())
            .map(str::to_owned)
            .collect::<Vec<String>>()
    });
    pages.zip(sizes).map(|(lines, size)| Sheet { lines, size }).collect()
}
