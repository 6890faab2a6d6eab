//! Virtual environments of Python for tests: under `target`, packages pinned, installed once for each list of packages.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The interpreter of an environment with the packages of a list, installed if need be.
///
/// # Errors
///
/// Why there is none: no Python, no registry.
pub fn environment(name: &str, pins: &Path) -> Result<PathBuf, String> {
    let environment = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target").join(name);
    let wanted = std::fs::read_to_string(pins).map_err(|error| format!("{}: {error}", pins.display()))?;
    let installed = environment.join("installed.txt");
    let python = environment.join("bin/python");
    if std::fs::read_to_string(&installed).is_ok_and(|installed| installed == wanted) && python.exists() {
        return Ok(python);
    }
    run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(&environment))?;
    let quiet = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-deps", "-r"];
    run(Command::new(&python).args(quiet).arg(pins))?;
    std::fs::write(&installed, wanted).map_err(|error| format!("{}: {error}", installed.display()))?;
    Ok(python)
}

fn run(command: &mut Command) -> Result<(), String> {
    let shown = format!("{command:?}");
    let output = command.output().map_err(|error| format!("{shown}: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    Err(format!("{shown}: {}", String::from_utf8_lossy(&output.stderr).trim()))
}

/// The interpreter, or nothing where there is none: said aloud, and a failure where tests must run. `lost` is what was not tested.
///
/// # Panics
///
/// Where `CI` is `true` and there is no interpreter.
#[must_use]
pub fn or_said_aloud(python: Result<PathBuf, String>, lost: &str) -> Option<PathBuf> {
    match python {
        Ok(python) => Some(python),
        Err(why) => {
            let text = format!("\n{lost}: {why}\n\n");
            // Not by a macro: the test harness would keep what those print to itself.
            drop(std::io::stderr().write_all(text.as_bytes()));
            assert!(std::env::var("CI").as_deref() != Ok("true"), "{text}");
            None
        }
    }
}
