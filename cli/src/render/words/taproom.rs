//! The taproom in words.

/// The heading.
pub const HEADING: &str = "Taproom";

/// Columns of the table.
#[must_use]
pub fn columns(unit: &str) -> [String; 5] {
    let in_unit = |what: &str| format!("{what} {unit}");
    ["on tap".to_owned(), in_unit("asked"), in_unit("poured"), in_unit("short"), String::new()]
}

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
