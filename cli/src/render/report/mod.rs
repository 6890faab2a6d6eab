//! The report: one file of HTML with drawings inside, for a browser or a printer.
//!
//! `page` is the frame that every report shares, `table` and `draw` are the pieces that parts are made of, and each part has a file
//! of its own. A part reads the view and nothing else. A report of another command is another list of parts.

mod changes;
mod compare;
mod draw;
mod layout;
mod levers;
mod orders;
mod page;
mod patterns;
mod rehearsal;
mod slack;
mod stock;
mod table;
mod verdict;
mod vessel_table;
mod vessels;
mod week;
mod why;

#[cfg(test)]
mod tests;

pub use compare::of_comparison;
pub use layout::of_layout;
pub use levers::of_levers;
use page::{Part, page};
pub use rehearsal::of_rehearsal;
pub use why::of_why;

use super::view::View;
use super::words;

/// The report of `plan` and of `check`.
#[must_use]
pub fn of_plan(view: &View) -> String {
    let parts: Vec<Option<Part>> = vec![
        Some(verdict::part(view)),
        verdict::breaches(view),
        Some(verdict::cautions(view)),
        changes::part(view),
        Some(week::by_day(view)),
        week::sheets(view),
        Some(vessels::part(view)),
        Some(orders::part(view)),
        orders::to_order(view),
        stock::part(view),
        orders::taproom(view),
        Some(slack::part(view)),
        Some(slack::parts(view)),
    ];
    let parts: Vec<Part> = parts.into_iter().flatten().collect();
    let beers: Vec<&str> = view.codes.iter().map(|code| code.beer.as_str()).collect();
    page(
        &format!("{}, {}", view.title, view.cellar),
        &words::packaged(view),
        &patterns::definitions(&beers),
        &parts,
    )
}
