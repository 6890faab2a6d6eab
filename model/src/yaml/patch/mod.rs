//! A change: a small file that takes out, alters and adds parts of a brew plan and its cellar before they are read.
//!
//! It works on the parsed documents (`tree`, `apply`), so that the ordinary reader judges what comes of it; every part keeps the
//! file and path that it was written at, and findings name these.

mod apply;
mod tree;

use serde_yaml::Value;

use super::node::{Fields, Findings, Node};
pub use tree::Origins;
use tree::Tree;

/// The key that makes a file a change, with its title.
pub const CHANGE: &str = "change";

/// A change as it was read.
pub struct Change<'v> {
    /// Its title.
    pub title: Option<String>,
    remove: Option<Fields<'v>>,
    alter: Option<Fields<'v>>,
    add: Option<Fields<'v>>,
}

/// The document that a part of a change is about.
#[derive(Clone, Copy, Debug)]
pub enum Document {
    /// The brew plan.
    BrewPlan,
    /// The cellar.
    Cellar,
}

impl<'v> Change<'v> {
    /// Reads what a change says of itself; what it does is looked at when it is done.
    pub fn read(value: &'v Value, findings: &Findings) -> Option<Self> {
        let fields = Node::root(value, findings.clone()).fields()?;
        let title = fields.required(CHANGE).and_then(|node| node.name());
        let part = |key: &'static str| fields.optional(key).and_then(|node| node.fields());
        let change = Self { title, remove: part("remove"), alter: part("alter"), add: part("add") };
        fields.finish();
        let parts = [&change.remove, &change.alter, &change.add];
        for part in parts.into_iter().flatten() {
            part.will_read("brewplan");
            part.will_read("cellar");
            part.finish();
        }
        let is_idle =
            |part: &&Fields| part.optional("brewplan").is_none() && part.optional("cellar").is_none();
        if parts.into_iter().flatten().all(|part| is_idle(&part)) {
            let allowed = "`remove`, `alter` or `add`, each with `brewplan` or `cellar`";
            fields.node.report("V148", crate::finding::Severity::Error, "", allowed, None);
        }
        Some(change)
    }

    /// Changes a document: takes out first, then alters, then adds.
    pub fn apply(&self, document: Document, file: &str, value: &Value, origins: &mut Origins) -> Value {
        let key = match document {
            Document::BrewPlan => "brewplan",
            Document::Cellar => "cellar",
        };
        let part = |fields: &Option<Fields<'v>>| fields.as_ref().and_then(|fields| fields.optional(key));
        let before = Tree::of(value, &file.into(), &[]);
        let mut tree = before.clone();
        if let Some(node) = part(&self.remove) {
            apply::remove(&mut tree, &node);
        }
        if let Some(node) = part(&self.alter) {
            apply::alter(&mut tree, &node);
        }
        if let Some(node) = part(&self.add) {
            apply::add(&mut tree, &node, Some(&before));
        }
        tree.value(file, origins)
    }
}
