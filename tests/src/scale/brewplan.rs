//! The two brew plans of a case: head, calendar, crews, and what beers and opening add.

use std::fmt::Write;

use super::{Brewery, Random, beers, opening};

/// The part in which the two brew plans differ.
pub fn head(brewery: &Brewery, what: &str, plan_for: i64, look_ahead: i64) -> String {
    format!(
        "# yaml-language-server: $schema=../../../schema/brewplan.schema.json
# Invented, written by the example `make_scale`: change the generator, not this file.
# Orders, without what is in stock: {} % of what the fermenters can make in {} weeks.
brewplan: {what}
cellar: cellar.yaml
starts: {}
plan_for: {plan_for} d
look_ahead: {look_ahead} d
",
        brewery.demand_percent, brewery.size.weeks, brewery.days.starts,
    )
}

/// The part that both have.
pub fn common(brewery: &Brewery, random: &mut Random) -> String {
    let mut text = format!(
        "aim: orders

calendar: {{brew: mon-fri, cellar: mon-sat, package: mon-fri, deliver: mon-fri, closed: [{}]}}

shifts:
  - {{name: day, starts: \"06:00\", hours: {} h}}

",
        brewery.days.closed, brewery.size.shift,
    );
    text.push_str(&crews(brewery, random));
    text.push('\n');
    text.push_str(&beers::write(brewery, random));
    text.push_str("\norders: orders.csv\n\nstock:\n");
    for product in brewery.products.iter().filter(|product| product.stock > 0) {
        let beer = &brewery.recipes[product.beer].name;
        let _ = writeln!(
            text,
            "  - {{beer: {beer}, format: {}, quantity: {} hL}}",
            product.format, product.stock
        );
    }
    text.push('\n');
    text.push_str(&opening::write(brewery, random));
    text
}

/// Minutes of cellar work for a batch: transfer, its bright tanks' cleaning and carbonating, the fermenter's cleaning.
const CELLAR_MINUTES: i64 = 60 + 2 * (60 + 60 + 30) + 75;

/// Crews: brewers for all turns of a day, packers for all lines at once, cellar hands for four fifths of a mean week's work. In two
/// weeks people of the packers or of the cellar are away.
fn crews(brewery: &Brewery, random: &mut Random) -> String {
    let size = brewery.size;
    let (first, next) = size.turn_hours;
    let brewing = (first + (size.turns_per_day - 1) * next) * 60;
    let brewers = divide_up(brewing, size.person_minutes);
    let packers: i64 = size.lines.iter().map(|line| line.people).sum();
    // A mean week: every fermenter once in eighteen days.
    let weekly = size.total_fermenters() * 7 * CELLAR_MINUTES / 18;
    let hands = divide_up(weekly * 10, 8 * 6 * size.person_minutes);
    let least = size.lines.iter().map(|line| line.people).min().unwrap_or(1);
    let hours = format!("{}.{} h", size.person_minutes / 60, size.person_minutes % 60 * 10 / 60);
    let first_week = random.between(1, size.weeks - 2);
    // One line of up to three stands still, two of more.
    let away = away(brewery, first_week, least * divide_up(size.lines.len() as i64, 3), random);
    let away_cellar = away_cellar(brewery, first_week + 1, hands, random);
    format!(
        "crew:
  - {{name: brewers, people: {brewers}, roles: [brew], hours: {hours}, days: mon-fri}}
  - {{name: cellar hands, people: {hands}, roles: [cellar], hours: {hours}, days: mon-sat{away_cellar}, overtime: {{at_most: 1 h, a_week: 3 h, cost: 40}}}}
  - {{name: packers, people: {packers}, roles: [package], hours: {hours}, days: mon-fri{away}, overtime: {{at_most: 1 h, a_week: 3 h, cost: 42}}}}
"
    )
}

/// Packers away on three days of a week, so many that lines stand still.
fn away(brewery: &Brewery, week: i64, people: i64, random: &mut Random) -> String {
    let first = random.between(0, 2);
    let days: Vec<String> = (first..first + 3)
        .map(|day| format!("{{on: {}, people: {people}}}", brewery.days.on(week * 7 + day)))
        .collect();
    format!(", absent: [{}]", days.join(", "))
}

/// A cellar hand away on three days of a week; where there is but one, on one day.
fn away_cellar(brewery: &Brewery, week: i64, hands: i64, random: &mut Random) -> String {
    let first = random.between(0, 2);
    if hands == 1 {
        return format!(", off: [{}]", brewery.days.on(week * 7 + first));
    }
    let days: Vec<String> = (first..first + 3)
        .map(|day| format!("{{on: {}, people: {}}}", brewery.days.on(week * 7 + day), divide_up(hands, 3)))
        .collect();
    format!(", absent: [{}]", days.join(", "))
}

/// Divides and rounds up.
fn divide_up(number: i64, by: i64) -> i64 {
    (number + by - 1) / by
}
