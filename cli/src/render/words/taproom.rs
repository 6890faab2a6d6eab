//! The taproom in words.

/// The heading.
pub const HEADING: &str = "Taproom";

/// Columns of the table.
pub const COLUMNS: [&str; 5] = ["on tap", "asked hL", "poured hL", "short hL", ""];

/// Days on which a tap pours nothing, and days on which it runs dry before all is poured that guests ask for.
#[must_use]
pub fn dry(dry: &[String], short: &[String]) -> String {
    let mut parts = Vec::new();
    if !dry.is_empty() {
        parts.push(format!("dry {}", dry.join(", ")));
    }
    if !short.is_empty() {
        parts.push(format!("runs out {}", short.join(", ")));
    }
    parts.join("; ")
}
