//! What `new` says.

/// A file that would be written is there already.
#[must_use]
pub fn is_there(file: &str) -> String {
    format!("{file} is there already; nothing was written. Name a new folder, or move the file away")
}

/// What was written, and what comes next.
#[must_use]
pub fn begun(brewplan: &str) -> String {
    format!(
        "Written: {brewplan}, cellar.yaml beside it, and their schemas for an editor.
Everything in them is invented; put your own brewery in its place. Then:
  cellarwright plan {brewplan}
"
    )
}
