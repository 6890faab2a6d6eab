//! Reading packaging lines and formats of `cellar.yaml`.

use std::collections::BTreeSet;

use super::cellar::{Cellar, positive};
use super::full_clean;
use super::node::{Fields, Node, did_you_mean};
use super::quantity;
use super::words;
use crate::case::{Beer, ChangePair, Comes, Format, Line, Marks, NeverAfter, Reach};
use crate::finding::Severity;
use crate::ids::{BeerId, LineId};
use crate::schema::Scalar;
use crate::units::{Minutes, Money, Pressure, Share};

/// Something between two beers on a line, named by nodes until the beers are known.
#[derive(Debug)]
pub struct BetweenBeers<'a> {
    line: LineId,
    first: Node<'a>,
    second: Node<'a>,
    what: Between,
}

#[derive(Clone, Copy, Debug)]
enum Between {
    /// The first never runs after the second.
    Never,
    /// The change from the first to the second takes so long.
    Change(Minutes),
}

/// What lies between a beer with a mark and one without it on a line.
#[derive(Debug)]
pub struct AfterMark {
    line: LineId,
    mark: Marks,
    what: Between,
}

fn optional_time(fields: &Fields, key: &'static str) -> Minutes {
    fields.optional(key).and_then(|node| words::time(&node)).unwrap_or_default()
}

/// Reads one line.
pub fn line<'a>(node: &Node<'a>, cellar: &mut Cellar<'a>) -> Option<()> {
    let fields = node.fields()?;
    let name_node = fields.required("name")?;
    let name = name_node.name();
    let speed = fields.required("speed").and_then(|node| words::rate(&node));
    let efficiency = fields.optional("efficiency").map_or(Some(Share::WHOLE), |node| words::share(&node));
    let people = fields.required("people").and_then(|node| node.whole(0, 100));
    let start_up = optional_time(&fields, "start_up");
    let clean_down = optional_time(&fields, "clean_down");
    let (mut change_beer, mut change_format) = (Minutes::ZERO, Minutes::ZERO);
    let (mut change_pairs, mut marked, mut format_pairs) = (None, None, None);
    if let Some(change) = fields.optional("change").and_then(|node| node.fields()) {
        change_beer = optional_time(&change, "beer");
        change_format = optional_time(&change, "format");
        change_pairs = change.optional("pairs");
        marked = change.optional("after_mark");
        format_pairs = change.optional("format_pairs");
        change.finish();
    }
    let loss = fields.optional("loss").and_then(|node| words::volume(&node)).unwrap_or_default();
    let least_run = fields.optional("least_run").and_then(|node| words::volume(&node)).unwrap_or_default();
    let (mut feed, mut pump) = (Pressure::ZERO, true);
    if let Some(feeding) = fields.optional("feed").and_then(|node| node.fields()) {
        feed = feeding.optional("pressure").and_then(|node| words::pressure(&node)).unwrap_or_default();
        pump = feeding.optional("pump").and_then(|node| node.yes_or_no()).unwrap_or(false);
        feeding.finish();
    }
    let pairs = fields.optional("never_after");
    let comes = fields.optional("comes").map_or(Some(Comes::Always), |node| comes(&node));
    let visit: Money = fields.optional("visit").and_then(|node| words::money(&node)).unwrap_or_default();
    let least_visit =
        fields.optional("least_visit").and_then(|node| words::volume(&node)).unwrap_or_default();
    fields.finish();
    let (name, speed, efficiency, people) = (name?, speed?, efficiency?, people?);
    if speed.0 == 0 || efficiency == Share::ZERO {
        node.report(
            "V305",
            Severity::Error,
            "a line that stands still",
            "a speed and efficiency above nothing",
            None,
        );
    }
    if cellar.lines.iter().any(|line| line.name == name) {
        name_node.error("V205", "a name that no other line has", None);
        return None;
    }
    if cellar.lines.len() >= 12 {
        name_node.error("V304", "at most 12 lines", None);
        return None;
    }
    let id = LineId(cellar.lines.len());
    never_after(id, pairs, cellar);
    changes(id, change_pairs, cellar);
    after_marks(id, marked, cellar);
    cellar.format_pairs.extend(format_pairs.map(|node| (id, node)));
    cellar.lines.push(Line {
        name,
        speed,
        efficiency,
        people,
        start_up,
        clean_down,
        reach: Reach::ALL,
        change_beer,
        change_pairs: Vec::new(),
        change_format,
        format_pairs: Vec::new(),
        loss,
        least_run,
        feed,
        pump,
        never_after: Vec::new(),
        comes: comes.unwrap_or_default(),
        visit,
        least_visit,
    });
    Some(())
}

/// The dates of a mobile line: a list, or `{from: 2026-12-10, every: 2 weeks}`.
fn comes(node: &Node) -> Option<Comes> {
    if !node.value.is_mapping() {
        let dates: BTreeSet<_> = node.items(true).iter().filter_map(words::date).collect();
        return Some(Comes::On(dates));
    }
    let fields = node.fields()?;
    let from = fields.required("from").and_then(|node| words::date(&node));
    let every_node = fields.required("every");
    let days = every_node.as_ref().and_then(words::days);
    fields.finish();
    let (from, days) = (from?, days?);
    if let Some(node) = every_node.filter(|_| days < 1) {
        node.error("V305", "at least a day", None);
    }
    Some(Comes::Every { from, days: days.max(1) })
}

fn never_after<'a>(line: LineId, pairs: Option<Node<'a>>, cellar: &mut Cellar<'a>) {
    for pair in pairs.map(|node| node.items(false)).unwrap_or_default() {
        let Some(pair) = pair.fields() else { continue };
        let (beer, after) = (pair.required("beer"), pair.required("after"));
        pair.finish();
        if let (Some(first), Some(after)) = (beer, after) {
            cellar.between_beers.extend(after.items(true).into_iter().map(|second| BetweenBeers {
                line,
                first: first.clone(),
                second,
                what: Between::Never,
            }));
        }
    }
}

fn changes<'a>(line: LineId, pairs: Option<Node<'a>>, cellar: &mut Cellar<'a>) {
    for pair in pairs.map(|node| node.items(false)).unwrap_or_default() {
        let Some(pair) = pair.fields() else { continue };
        let (from, to) = (pair.required("from"), pair.required("to"));
        let takes = pair.required("takes").and_then(|node| words::time(&node));
        pair.finish();
        let (Some(from), Some(to), Some(takes)) = (from, to, takes) else { continue };
        for first in from.items(true) {
            cellar.between_beers.extend(to.items(true).into_iter().map(|second| BetweenBeers {
                line,
                first: first.clone(),
                second,
                what: Between::Change(takes),
            }));
        }
    }
}

/// Reads `[{mark: nuts, takes: 90 min}, {mark: gluten, never: yes}]`.
fn after_marks(line: LineId, marked: Option<Node>, cellar: &mut Cellar) {
    for item in marked.map(|node| node.items(false)).unwrap_or_default() {
        let Some(fields) = item.fields() else { continue };
        let mark = fields.required("mark").and_then(|node| full_clean::minded(&node, &mut cellar.cleaning));
        let takes = words::takes_or_never(&fields, "V572", "after_mark");
        fields.finish();
        let what = takes.map(|takes| takes.map_or(Between::Never, Between::Change));
        if let (Some(mark), Some(what)) = (mark, what) {
            cellar.after_marks.push(AfterMark { line, mark, what });
        }
    }
}

/// Gives the lines what is between a beer with a mark and one without it, now that the marks of the beers are known. A pair of
/// `pairs` stands; of several marks the longest change counts.
pub fn resolve_marks(marked: &[AfterMark], beers: &[Beer], lines: &mut [Line]) {
    let settled: Vec<Vec<ChangePair>> = lines.iter().map(|line| line.change_pairs.clone()).collect();
    for AfterMark { line: id, mark, what } in marked {
        let Some(line) = lines.get_mut(id.0) else { continue };
        let has = |beer: &Beer| beer.marks.common(*mark) != Marks::NONE;
        for (from, to) in ordered_pairs(beers.len()) {
            if !has(&beers[from.0]) || has(&beers[to.0]) {
                continue;
            }
            let is_pair = |pair: &ChangePair| (pair.from, pair.to) == (from, to);
            match *what {
                Between::Never => line.never_after.push(NeverAfter { beer: to, after: from }),
                Between::Change(_) if settled[id.0].iter().any(is_pair) => {}
                Between::Change(takes) => match line.change_pairs.iter_mut().find(|pair| is_pair(pair)) {
                    Some(pair) => pair.takes = pair.takes.max(takes),
                    None => line.change_pairs.push(ChangePair { from, to, takes }),
                },
            }
        }
    }
}

fn ordered_pairs(beers: usize) -> impl Iterator<Item = (BeerId, BeerId)> {
    (0..beers).flat_map(move |from| (0..beers).map(move |to| (BeerId(from), BeerId(to))))
}

/// Gives the lines what is between their beers, now that the beers are known by name.
pub fn resolve(between: Vec<BetweenBeers>, beer_of: impl Fn(&Node) -> Option<BeerId>, lines: &mut [Line]) {
    for pair in between {
        let (Some(first), Some(second)) = (beer_of(&pair.first), beer_of(&pair.second)) else { continue };
        let Some(line) = lines.get_mut(pair.line.0) else { continue };
        match pair.what {
            Between::Never => line.never_after.push(NeverAfter { beer: first, after: second }),
            Between::Change(takes) => {
                let is_known =
                    line.change_pairs.iter().any(|known| (known.from, known.to) == (first, second));
                if first == second || is_known {
                    pair.second.error("V531", "two different beers, each ordered pair once", None);
                    continue;
                }
                line.change_pairs.push(ChangePair { from: first, to: second, takes });
            }
        }
    }
}

/// Reads one format.
pub fn format(node: &Node, cellar: &mut Cellar) -> Option<()> {
    let fields = node.fields()?;
    let name_node = fields.required("name")?;
    let name = name_node.name();
    let line_node = fields.required("line");
    let contents = fields
        .required("contents")
        .and_then(|node| node.quantity(quantity::parse_contents, Scalar::Contents.sentence()));
    let contents = positive(&fields, "contents", contents);
    let loss = fields.optional("loss").map_or(Some(Share::ZERO), |node| words::share(&node));
    let overfill = fields.optional("overfill").map_or(Some(Share::ZERO), |node| words::share(&node));
    let pallet = fields.optional("pallet").and_then(|node| node.whole(1, 10_000));
    fields.finish();
    let line_node = line_node?;
    let line_name = line_node.name()?;
    let Some(line) = cellar.lines.iter().position(|line| line.name == line_name) else {
        let names: Vec<&str> = cellar.lines.iter().map(|line| line.name.as_str()).collect();
        let hint = did_you_mean(&line_name, names.iter().copied());
        line_node.error("V206", &format!("one of the lines: {}", names.join(", ")), hint);
        return None;
    };
    let (name, contents, loss) = (name?, contents?, loss?);
    if cellar.formats.iter().any(|format| format.name == name) {
        name_node.error("V205", "a name that no other format has", None);
        return None;
    }
    cellar.formats.push(Format { name, line: LineId(line), contents, overfill: overfill?, pallet, loss });
    Some(())
}
