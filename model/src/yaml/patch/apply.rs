//! What a change does to a document: takes out, alters, adds.

use serde_yaml::Value;

use super::tree::{Kind, Tree};
use crate::finding::Severity;
use crate::yaml::node::{Node, did_you_mean, shown};

/// Key of an entry that is a copy of another one.
const LIKE: &str = "like";

/// Takes out what is named: keys of mappings, entries of lists.
pub fn remove(target: &mut Tree, node: &Node) {
    if let Value::Mapping(_) = node.value {
        for (name, child) in node.entries() {
            if let Some(found) = below(target, &name, &child) {
                remove(found, &child);
            }
        }
        return;
    }
    for item in node.items(true) {
        let Some(name) = item.text("the name of what is taken out") else { continue };
        let name = name.trim();
        match &mut target.kind {
            Kind::Map(entries) => match entries.iter().position(|(key, _)| shown(key) == name) {
                Some(place) => drop(entries.remove(place)),
                None => no_such_key(entries, name, &item),
            },
            Kind::List(items) => {
                if let Some(place) = entry_of(items, name, &item)
                    && !items[place].drop_name(name)
                {
                    items.remove(place);
                }
            }
            Kind::Single(_) => item.error("V144", "the name of something that the file has", None),
        }
    }
}

/// Puts values in the place of others: keys of mappings, entries of lists by name, whole lists and single values.
pub fn alter(target: &mut Tree, node: &Node) {
    if !matches!(node.value, Value::Mapping(_)) || matches!(target.kind, Kind::Single(_)) {
        *target = Tree::of_node(node);
        return;
    }
    for (name, child) in node.entries() {
        if name != LIKE {
            alter_key(target, &name, &child);
        }
    }
}

fn alter_key(target: &mut Tree, name: &str, child: &Node) {
    match &mut target.kind {
        Kind::Map(entries) => match entries.iter_mut().find(|(key, _)| shown(key) == name) {
            Some((_, tree)) => alter(tree, child),
            // Whether there can be such a key is for the reader to say.
            None => entries.push((Value::from(name), Tree::of_node(child))),
        },
        Kind::List(_) => {
            if let Some(tree) = below(target, name, child) {
                alter(tree, child);
            }
        }
        Kind::Single(_) => {}
    }
}

/// Adds entries to lists, and keys that are not there. `before` is the same part as the file has it.
pub fn add(target: &mut Tree, node: &Node, before: Option<&Tree>) {
    match (&mut target.kind, node.value) {
        (Kind::Map(entries), Value::Mapping(_)) => {
            for (name, child) in node.entries() {
                match entries.iter_mut().find(|(key, _)| shown(key) == name) {
                    Some((_, tree)) => add(tree, &child, before.and_then(|before| before.get(&name))),
                    None => entries.push((Value::from(name), Tree::of_node(&child))),
                }
            }
        }
        (Kind::List(items), Value::Mapping(_)) if names_entries(items, node) => {
            for (name, child) in node.entries() {
                let was = before.and_then(|before| entry_named(before, &name));
                if let Some(tree) = below(target, &name, &child) {
                    add(tree, &child, was);
                }
            }
        }
        (Kind::List(items), _) => {
            for item in node.items(true) {
                items.extend(new_entry(&item, before));
            }
        }
        (Kind::Map(_) | Kind::Single(_), _) => {
            node.error(
                "V147",
                "entries for a list, or a key that is not there",
                Some("what is there is changed under `alter`".into()),
            );
        }
    }
}

/// Whether every key of a mapping is the name of an entry.
fn names_entries(items: &[Tree], node: &Node) -> bool {
    let is_named = |name: &String| items.iter().any(|item| item.names().contains(name));
    node.entries().iter().all(|(name, _)| is_named(name))
}

/// An entry that is added; with `like` a copy of one that the file has, with what else it says.
fn new_entry(item: &Node, before: Option<&Tree>) -> Option<Tree> {
    let like = item.entries_if_any().into_iter().find(|(key, _)| key == LIKE);
    let Some((_, like)) = like else { return Some(Tree::of_node(item)) };
    let name = like.text("the name of an entry of the list")?;
    let Some(Kind::List(items)) = before.map(|before| &before.kind) else {
        like.error("V145", "nothing: the file has no such list", None);
        return None;
    };
    let mut items = items.clone();
    let place = entry_of(&mut items, name.trim(), &like)?;
    let mut copy = items.swap_remove(place);
    let key = if copy.get("names").is_some() { "names" } else { "name" };
    if item.entries().iter().all(|(own, _)| own != key) {
        item.report("V149", Severity::Error, &name, &format!("`{key}` of its own beside `{LIKE}`"), None);
        return None;
    }
    let own = Tree::of_node(item);
    copy.origin = own.origin;
    alter(&mut copy, item);
    Some(copy)
}

fn entry_named<'t>(tree: &'t Tree, name: &str) -> Option<&'t Tree> {
    match &tree.kind {
        Kind::List(items) => items.iter().find(|item| item.names().iter().any(|own| own == name)),
        Kind::Map(_) | Kind::Single(_) => None,
    }
}

/// What a key, or the name of an entry, leads to; an entry with several names is divided first. Reports what is not there.
fn below<'t>(target: &'t mut Tree, name: &str, child: &Node) -> Option<&'t mut Tree> {
    match &mut target.kind {
        Kind::Map(entries) => match entries.iter().position(|(key, _)| shown(key) == name) {
            Some(place) => Some(&mut entries[place].1),
            None => {
                no_such_key(entries, name, child);
                None
            }
        },
        Kind::List(items) => {
            let place = entry_of(items, name, child)?;
            let mut alone = items[place].clone();
            if items[place].drop_name(name) {
                alone.keep_name(name);
                items.insert(place + 1, alone);
                return items.get_mut(place + 1);
            }
            items.get_mut(place)
        }
        Kind::Single(_) => {
            child.report("V144", Severity::Error, name, "what the file has", None);
            None
        }
    }
}

/// The place of the one entry of a list that goes by a name. Reports where there is none, or more than one.
fn entry_of(items: &mut [Tree], name: &str, node: &Node) -> Option<usize> {
    let all: Vec<Vec<String>> = items.iter().map(Tree::names).collect();
    let named = |names: &Vec<String>| names.iter().any(|own| own == name);
    let mut places = all.iter().enumerate().filter(|(_, names)| named(names)).map(|(place, _)| place);
    match (places.next(), places.next()) {
        (Some(place), None) => Some(place),
        (Some(_), Some(_)) => {
            let allowed = "a name that one entry of the list has";
            let hint = "give the whole list under `alter`, with what is changed in it";
            node.report("V146", Severity::Error, name, allowed, Some(hint.into()));
            None
        }
        (None, _) => {
            let known: Vec<&str> = all.iter().flatten().map(String::as_str).collect();
            let hint = did_you_mean(name, known.iter().copied());
            node.report("V145", Severity::Error, name, &listed(&known), hint);
            None
        }
    }
}

fn no_such_key(entries: &[(Value, Tree)], name: &str, node: &Node) {
    let keys: Vec<String> = entries.iter().map(|(key, _)| shown(key)).collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    node.report("V144", Severity::Error, name, &listed(&keys), did_you_mean(name, keys.iter().copied()));
}

/// Names that are allowed, no more than a person reads.
fn listed(names: &[&str]) -> String {
    const MOST: usize = 30;
    if names.is_empty() {
        return "nothing: there is none".to_owned();
    }
    let more = if names.len() > MOST { " and others" } else { "" };
    let shown: Vec<String> = names.iter().take(MOST).map(|name| format!("`{name}`")).collect();
    format!("{}{more}", shown.join(", "))
}
