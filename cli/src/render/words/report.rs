//! Words of the report: headings (the screen has the same), captions, and what the drawings say.

use crate::render::numbers::{UnitSystem, volume, volume_of};
use crate::render::view::{StayRow, View, WorkRow};

/// The first part, which says how good the plan is.
pub const VERDICT: &str = "How good is it";
/// Figures beside it: what is packaged.
pub const PACKAGED: &str = "packaged";
/// Orders that are short.
pub const ORDERS_SHORT: &str = "orders short";
/// What is delivered after its due day.
pub const LATE: &str = "delivered late";
/// Days on which a tap runs dry.
pub const DRY_DAYS: &str = "days with a dry tap";
/// Resources that bind.
pub const WHAT_BINDS: &str = "what binds";
/// None does.
pub const NOTHING: &str = "nothing";
/// Breaches of rules.
pub const BREACHES: &str = "Rules that it breaks";
/// Work by day.
pub const WEEK: &str = "Work by day";
/// Work by crew.
pub const SHEETS: &str = "A sheet for each crew";
/// The drawn vessels.
pub const VESSELS: &str = "Vessels by day";
/// Orders.
pub const ORDERS: &str = "Orders";
/// Materials.
pub const TO_ORDER: &str = "Materials to order";
/// Packaged beer over time.
pub const STOCK: &str = "Stock and orders";
/// Resources.
pub const SLACK: &str = "Slack, tightest first";
/// The objective's parts.
pub const PARTS: &str = "What the objective is made of";
/// Cautions.
pub const CAUTIONS: &str = "Cautions";
/// The contents.
pub const CONTENTS: &str = "Contents";
/// Said of names with a stroke between them.
pub const SHARED: &str = "Names with a stroke between them: any of these crews may do the work, or share it; the plan does not say which.";
/// Said above the sheets.
pub const ABOUT_SHEETS: &str =
    "One sheet to print for each crew. Work that another crew may do as well stands on both sheets.";
/// Days on which nobody works.
#[must_use]
pub fn no_work_on(days: &[&str]) -> String {
    format!("No work on {}.", days.join(", "))
}

/// Nobody works.
pub const NO_WORK: &str = "No work in these days.";
/// Said below the drawing of vessels.
pub const ABOUT_VESSELS: &str = "A bar is beer in a vessel, from the middle of the shift that fills it to the middle of the shift \
    that empties it; its pattern and label name the beer. Below each bar stands what happens on the day.";
/// Said below the drawings of stock.
#[must_use]
pub fn about_stock(unit: &str) -> String {
    format!(
        "All in {unit}. Above each line: packaged beer left at the end of the day (a plus sign: packaged on it). Below the line: what is \
         due, solid where it is delivered, in time or late, and hatched where it is short. After a dashed line begins a period of \
         the look-ahead, counted coarsely."
    )
}

/// Heads the table of resources.
pub const SLACK_CAPTION: &str = "What is used of every resource, and what is left";
/// Heads the table of the objective's parts.
pub const PARTS_CAPTION: &str = "Parts that add up to the objective";
/// Said above the bars of slack.
pub const ABOUT_SLACK: &str = "A bar is what there is; the dark part of it is used. A resource binds where nothing worth speaking of \
    is left on its tightest day and no more can be had.";
/// Over a vessel's bar where it is empty and dirty.
pub const DIRTY: &str = "dirty";
/// Heads the last column of the drawing.
pub const THEN: &str = "then";
/// Nothing is in a vessel.
pub const EMPTY: &str = "empty";
/// Of what is away without work, which all should know.
pub const ALL: &str = "for all to know";
/// Heads the table of vessels.
pub const VESSELS_CAPTION: &str = "What is in each vessel, and what happens to it";

/// The planned days.
#[must_use]
pub fn from_to(view: &View) -> String {
    match (view.days.first(), view.days.last()) {
        (Some(first), Some(last)) => format!("{} to {}", first.label, last.label),
        _ => String::new(),
    }
}

/// A sentence in which no number is parted from its unit.
#[must_use]
pub fn kept_together(sentence: &str) -> String {
    let mut text = String::new();
    let mut letters = sentence.chars().peekable();
    while let Some(letter) = letters.next() {
        let is_gap = letter == ' ' && text.ends_with(|before: char| before.is_ascii_digit());
        let is_kept = is_gap && letters.peek().is_some_and(char::is_ascii_digit);
        text.push(if is_kept { '\u{a0}' } else { letter });
    }
    for unit in ["%", "money", "hL", "bbl", "gal"] {
        text = text.replace(&format!(" {unit}"), &format!("\u{a0}{unit}"));
    }
    text
}

/// Who does a piece of work.
#[must_use]
pub fn who(row: &WorkRow) -> String {
    if row.crews.is_empty() {
        return if row.role == "taproom" { row.role } else { ALL }.to_owned();
    }
    row.crews.join(" / ")
}

/// The other crews that may do a piece of work on the sheet of one.
#[must_use]
pub fn others(row: &WorkRow, crew: &str) -> String {
    let others: Vec<&str> = row.crews.iter().map(String::as_str).filter(|&other| other != crew).collect();
    others.join(" / ")
}

/// People of a crew on a day.
#[must_use]
pub fn heads(heads: i64) -> String {
    match heads {
        0 => "nobody there".to_owned(),
        1 => "1 person".to_owned(),
        many => format!("{many} people"),
    }
}

/// What a piece of work does to a vessel, in a word or two; nothing where it does not touch it.
#[must_use]
pub fn in_vessel(row: &WorkRow, vessel: &str) -> Option<String> {
    let is_from = row.from.iter().any(|from| from == vessel);
    let is_on = row.vessel.as_deref() == Some(vessel);
    if !is_from && !is_on {
        return None;
    }
    let to = row.vessel.as_deref().unwrap_or_default();
    let words = match row.work {
        // Brewing begins long before its wort reaches the vessel.
        "brew" => {
            let from = row.begins.as_ref().map_or_else(String::new, |begins| format!(" from {begins}"));
            let turns = row.turns.unwrap_or_default();
            format!("brewed{from}, {turns} {}", if turns == 1 { "turn" } else { "turns" })
        }
        // What is poured is told day by day.
        "tap" => return None,
        "transfer" if is_from => format!("to {to}"),
        "transfer" => {
            let clean = if row.cleans_before { "cleaned, " } else { "" };
            format!("{clean}filled from {}", row.from.join(", "))
        }
        "package" => format!("packaged, {}", row.line.as_deref().unwrap_or_default()),
        "carbonate" => "carbonated".to_owned(),
        "nitrogen" => "given nitrogen".to_owned(),
        "clean" if row.full_clean => "cleaned in full".to_owned(),
        "clean" => "cleaned".to_owned(),
        "sanitise" => "sanitised".to_owned(),
        "crop" => "yeast cropped".to_owned(),
        "tank work" => row.piece.clone().unwrap_or_else(|| "tank work".to_owned()),
        "dump" => "poured away".to_owned(),
        "outage" | "upkeep" | "leave alone" => match &row.reason {
            Some(reason) => format!("{}: {reason}", row.work),
            None => row.work.to_owned(),
        },
        other => other.to_owned(),
    };
    let pinned = if row.pinned { " (pinned)" } else { "" };
    let begins = row.begins.as_ref().filter(|_| row.work != "brew");
    let begins = begins.map_or_else(String::new, |begins| format!("{begins} "));
    Some(format!("{begins}{words}{pinned}"))
}

/// Poured in the taproom on a day.
#[must_use]
pub fn poured(units: UnitSystem, volume_hl: f64) -> String {
    format!("on tap, {}", volume_of(units, volume_hl))
}

/// A stay's beer, volume and times, the longest first: what is said where there is room.
#[must_use]
pub fn stay(
    units: UnitSystem,
    stay: &StayRow,
    code: &str,
    is_from_before: bool,
    until: Option<&str>,
) -> Vec<String> {
    let name = &stay.beer;
    let named = format!("{name}, {}", volume_of(units, stay.volume_hl));
    let since = (is_from_before && !stay.from_label.is_empty())
        .then(|| format!("{named}, since {}", stay.from_label));
    let both = until.map(|until| format!("{}, until {until}", since.as_ref().unwrap_or(&named)));
    let short = format!("{code} {}", volume(units, stay.volume_hl));
    [both, since, Some(named.clone()), Some(name.clone()), Some(short), Some(code.to_owned())]
        .into_iter()
        .flatten()
        .collect()
}

/// A stay in full, for who points at it.
#[must_use]
pub fn stay_in_full(units: UnitSystem, stay: &StayRow, vessel: &str, until: Option<&str>) -> String {
    let mut text = format!("{vessel}: {}, {}", stay.beer, volume_of(units, stay.volume_hl));
    if !stay.from_label.is_empty() {
        text += &format!(", since {}", stay.from_label);
    }
    if let Some(ready) = &stay.ready_label {
        text += &format!(", ready {ready}");
    }
    match until {
        Some(until) => text + &format!(", until {until}"),
        None => text + &format!(", stays ({})", volume_of(units, stay.left_hl)),
    }
}

/// What becomes of a stay after the drawn days.
#[must_use]
pub fn stays(units: UnitSystem, stay: &StayRow, is_ready: bool) -> String {
    match stay.ready_label.as_ref().filter(|_| !is_ready) {
        Some(ready) => format!("ready {ready}"),
        None => format!("stays, {}", volume_of(units, stay.left_hl)),
    }
}

/// What the drawing of vessels shows.
#[must_use]
pub fn vessels_title(first: &str, last: &str, from: &str, to: &str) -> String {
    let vessels = if from == to { from.to_owned() } else { format!("{from} to {to}") };
    format!("{vessels}, {first} to {last}")
}

/// What the drawing of vessels says to who cannot see it.
pub const VESSELS_DESCRIPTION: &str =
    "A row for each vessel and a column for each day; the table of vessels below has the same in words.";

/// What the drawing of a beer's stock shows.
#[must_use]
pub fn stock_title(beer: &str) -> String {
    format!("{beer}: packaged stock against orders")
}

/// Stock on the first day.
#[must_use]
pub fn at_the_start(units: UnitSystem, opening_hl: f64) -> String {
    format!("{} at the start", volume_of(units, opening_hl))
}

/// Heads the numbers of a beer's stock.
#[must_use]
pub fn stock_table(beer: &str, format: &str, at_the_start: &str) -> String {
    format!("{beer}, {format}: {at_the_start}")
}

/// What the drawing of a beer's stock says to who cannot see it.
pub const STOCK_DESCRIPTION: &str = "For each format a column for each day, stock above and orders below; the numbers stand in the table that follows.";

/// How many orders are short.
#[must_use]
pub fn short_orders(short: usize, all: usize, missed: &str) -> String {
    match short {
        0 => format!("none of {all}"),
        _ => format!("{short} of {all}, {missed} together"),
    }
}

/// A figure of a day's shortage in the drawing.
#[must_use]
pub fn short(units: UnitSystem, missed_hl: f64) -> String {
    format!("short {}", volume(units, missed_hl))
}

/// Said at the end of a page.
#[must_use]
pub fn made_with(version: &str) -> String {
    format!(
        "cellarwright {version}. Planning figures: data plates, relief devices, local codes and licensed practice decide."
    )
}
