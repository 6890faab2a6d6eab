//! The vessels and lines of a size, written as `cellar.yaml`.

use std::fmt::Write;

use super::size::LineKind;
use super::{Brewery, Random};

/// Hours to clean a vessel of so many turns, and of a person with it.
fn cleaning(turns: i64) -> (&'static str, &'static str) {
    match turns {
        1 => ("2 h", "1 h"),
        2 => ("2.5 h", "1 h"),
        _ => ("3.5 h", "1.5 h"),
    }
}

/// Names of the fermenters and the turns they hold, in the order of the file.
pub fn fermenters(brewery: &Brewery) -> Vec<(String, i64)> {
    let classes = brewery.size.fermenters.iter();
    let turns = classes.flat_map(|class| std::iter::repeat_n(class.turns, class.count as usize));
    turns.enumerate().map(|(number, turns)| (format!("F{}", number + 1), turns)).collect()
}

/// Names of the bright tanks and the turns they hold.
pub fn brights(brewery: &Brewery) -> Vec<(String, i64)> {
    let classes = brewery.size.brights.iter();
    let turns = classes.flat_map(|&(count, turns)| std::iter::repeat_n(turns, count as usize));
    turns.enumerate().map(|(number, turns)| (format!("B{}", number + 1), turns)).collect()
}

/// Writes the cellar.
pub fn write(brewery: &Brewery, random: &mut Random) -> String {
    let size = brewery.size;
    let (first, next) = size.turn_hours;
    let mut text = format!(
        "# yaml-language-server: $schema=../../../schema/cellar.schema.json
# Invented brewery in an invented place, written by the example `make_scale`: change the generator, not this file.
cellar: {}
altitude: {} m

brewhouse:
  turn: {} hL
  first_turn: {{takes: {first} h, crew: {{brew: {first} h}}}}
  next_turn: {{takes: {next} h, crew: {{brew: {next} h}}}}
  turns_per_day: {}
  hours_per_day: {} h
  fill_within: 30 h

vessels:
",
        brewery.name,
        random.between(2, 30) * 10,
        size.turn,
        size.turns_per_day,
        first + (size.turns_per_day - 1) * next,
    );
    vessels(&mut text, brewery);
    let _ = write!(
        text,
        "
pressure: {{margin: 10 %, breakout: 15 kPa}}
cleaning: {{sets: {}}}
sanitise: {{takes: 30 min, crew: {{cellar: 30 min}}}}
transfer: {{takes: 2 h, crew: {{cellar: 1 h}}, loss: {} L + 0.5 %}}
carbonate: {{takes: 6 h, crew: {{cellar: 30 min}}}}

lines:
",
        size.sets, size.turn,
    );
    for (number, kind) in size.lines.iter().enumerate() {
        line(&mut text, brewery, number, kind);
    }
    text.push_str("\nformats:\n");
    for kind in size.lines {
        for (name, contents) in kind.formats {
            let loss = if name.contains("keg") { 1 } else { 2 };
            let _ = writeln!(
                text,
                "  - {{name: {name}, line: {}, contents: {contents}, loss: {loss} %}}",
                kind.name
            );
        }
    }
    text
}

fn vessels(text: &mut String, brewery: &Brewery) {
    let size = brewery.size;
    let mut first = 0;
    let names = fermenters(brewery);
    for class in size.fermenters {
        let last = first + class.count as usize;
        let (takes, crew) = cleaning(class.turns);
        let (uses, pressure) = if class.packages {
            ("ferment, package", "rated: 200 kPa, relief: 150 kPa")
        } else {
            ("ferment", "rated: 100 kPa")
        };
        let holds = class.turns * size.turn;
        let names: Vec<&str> = names[first..last].iter().map(|(name, _)| name.as_str()).collect();
        let _ = writeln!(
            text,
            "  - {{names: [{}], uses: [{uses}], holds: {holds} hL, least: {} hL, {pressure}, clean: {{takes: {takes}, crew: {{cellar: {crew}}}, after: {}}}}}",
            names.join(", "),
            holds * 9 / 10,
            if class.turns > 2 { "next shift" } else { "same shift" },
        );
        first = last;
    }
    let mut first = 0;
    let names = brights(brewery);
    for &(count, turns) in size.brights {
        let last = first + count as usize;
        let (takes, crew) = cleaning(turns);
        let holds = turns * size.turn;
        let names: Vec<&str> = names[first..last].iter().map(|(name, _)| name.as_str()).collect();
        let _ = writeln!(
            text,
            "  - {{names: [{}], uses: [bright], holds: {holds} hL, least: {} hL, rated: 200 kPa, clean: {{takes: {takes}, crew: {{cellar: {crew}}}}}, refill: next shift}}",
            names.join(", "),
            holds * 4 / 10,
        );
        first = last;
    }
}

/// Minutes of a run-day of a line that nothing is filled in: start-up, clean-down, two changes.
const IDLE_MINUTES: i64 = 60 + 45 + 2 * 30;

/// A line that fills its weekly demand in 80 % of its crew's hours on five days.
fn line(text: &mut String, brewery: &Brewery, number: usize, kind: &LineKind) {
    let size = brewery.size;
    let products = brewery.products.iter().filter(|product| product.line == number);
    let weekly: i64 = products.map(|product| product.weekly_litres).sum();
    let minutes = 5 * (size.person_minutes - IDLE_MINUTES) * 80 / 100;
    let efficiency = 75;
    // Rounded up to 50 L/h.
    let speed = ((weekly * 60 * 100 / minutes / efficiency + 49) / 50 * 50).max(100);
    let feed = if kind.name.contains("keg") { 50 } else { 70 };
    let _ = writeln!(
        text,
        "  - {{name: {}, speed: {speed} L/h, efficiency: {efficiency} %, people: {}, start_up: 1 h, clean_down: 45 min, change: {{beer: 30 min, format: 20 min}}, loss: {} L, least_run: {} hL, feed: {{pressure: {feed} kPa, pump: allowed}}}}",
        kind.name,
        kind.people,
        size.turn,
        (size.turn / 5).max(2),
    );
}
