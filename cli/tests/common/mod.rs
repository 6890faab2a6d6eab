//! The real binary and the cases, for the tests of commands.

#![allow(dead_code, clippy::unwrap_used, reason = "not every test uses all of it; a test may fail loudly")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// The binary, away from any terminal.
pub fn cellarwright(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cellarwright"));
    command.args(arguments).env("NO_COLOR", "1").stdin(Stdio::null());
    command
}

/// What it ends with.
pub fn run(arguments: &[&str]) -> Output {
    cellarwright(arguments).output().unwrap()
}

/// The folder of the cases.
pub fn cases() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases")
}

/// The brew plan of a case.
pub fn case(name: &str) -> String {
    cases().join(name).join("brewplan.yaml").display().to_string()
}

/// The best plan of a case, written into a folder of its own: the folder and the file.
pub fn planned(name: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.yaml").display().to_string();
    let output = run(&["plan", &case(name), "--quiet", "--gap", "0", "--out", &plan]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    (folder, plan)
}

/// The JSON document of a command that ends with a code.
pub fn document(output: &Output, code: i32) -> serde_json::Value {
    assert_eq!(output.status.code(), Some(code), "{}{}", text(&output.stdout), text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Bytes of an output as text.
pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}
