//! Every vessel across the days, as a chart of letters and signs.

use super::WIDTH;
use super::text::items;
use super::view::View;
use super::words::signs;

/// The most days side by side.
const MOST_DAYS: usize = 14;

/// Blocks of days, one row a vessel, and the legend.
#[must_use]
pub fn lines(view: &View) -> Vec<String> {
    let width = |text: &str| text.chars().count();
    let names = view.vessels.iter().map(|row| width(&row.vessel)).max().unwrap_or_default().min(20);
    let labels = view.days.iter().map(|day| width(short(&day.label)));
    let cells = view.vessels.iter().flat_map(|row| row.cells.iter().map(|cell| width(cell)));
    let cell = labels.chain(cells).max().unwrap_or(1).min(WIDTH - names - 2);
    let fits = ((WIDTH - names) / (cell + 2)).clamp(1, MOST_DAYS);
    let days = view.days.len();
    let per_block = if days <= fits {
        days
    } else if fits >= 7 {
        fits / 7 * 7
    } else {
        fits
    };
    let mut lines = Vec::new();
    for start in (0..days).step_by(per_block.max(1)) {
        let end = (start + per_block).min(days);
        if start > 0 {
            lines.push(String::new());
        }
        let mut header = " ".repeat(names);
        for day in &view.days[start..end] {
            header.push_str(&format!("  {:<cell$}", short(&day.label)));
        }
        lines.push(header);
        for row in &view.vessels {
            let name: String = row.vessel.chars().take(names).collect();
            let mut line = format!("{name:<names$}");
            for text in row.cells.iter().take(end).skip(start) {
                let text: String = text.chars().take(cell).collect();
                line.push_str(&format!("  {text:<cell$}"));
            }
            lines.push(line);
        }
    }
    lines.extend(legend(view));
    lines
}

/// `Mon 7` of `Mon 7 Dec`.
fn short(label: &str) -> &str {
    label.rsplit_once(' ').map_or(label, |(day, _)| day)
}

/// The signs and letters that the chart uses.
fn legend(view: &View) -> Vec<String> {
    let cells = || view.vessels.iter().flat_map(|row| &row.cells);
    let used = signs::LEGEND.iter().filter(|(sign, _)| cells().any(|cell| cell.contains(*sign)));
    let signs: Vec<String> = used.map(|(sign, meaning)| format!("{sign} {meaning}")).collect();
    let held = |beer: &str| view.vessels.iter().any(|row| row.stays.iter().any(|stay| stay.beer == beer));
    let beers = view.codes.iter().filter(|code| held(&code.beer));
    let beers: Vec<String> = beers.map(|code| format!("{} {}", code.code, code.beer)).collect();
    let mut lines = vec![String::new()];
    lines.extend(items(&signs));
    lines.extend(items(&beers));
    lines
}
