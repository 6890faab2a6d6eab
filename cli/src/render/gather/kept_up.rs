//! The view of a cycle that can be kept up for ever: one cycle out of the days that were replayed.

use std::collections::BTreeMap;
use std::ops::Range;

use cellarwright_model::calendar::Slot;
use cellarwright_model::case::Aim;
use cellarwright_model::finding::Finding;
use cellarwright_model::units::Volume;
use cellarwright_solver::answer::Answer;
use cellarwright_solver::repeating::KeptUp;

use super::{date, objective_units, of_answer};
use crate::render::view::{FormatRow, GoodsRow, KeptView, View, Volumes};
use crate::render::words::{kept_up as words, parts};

/// The view of a cycle to the gap asked for.
#[must_use]
pub fn of_kept(kept: &KeptUp, findings: &[Finding], asked: f64, interrupted: bool) -> KeptView {
    let case = &kept.case;
    let slots = case.calendar.slot(kept.days.start, 0)..case.calendar.slot(kept.days.end, 0);
    let is_in = |slot: Slot| slots.contains(&slot);
    let mut report = kept.report.clone();
    report.breakdown = kept.kept.breakdown;
    report.violations.clear();
    for uses in &mut report.usage.resources {
        uses.uses.retain(|used| is_in(used.slot));
    }
    report.usage.taps.retain(|tap| kept.days.contains(&tap.day));
    let mut plan = kept.plan.clone();
    plan.pours.retain(|pour| kept.days.contains(&pour.day));
    let answer = Answer {
        status: kept.status,
        plan,
        report,
        objective: kept.objective,
        bound: kept.bound,
        gap: kept.gap,
        seconds: kept.seconds,
        size: kept.size,
        by_rule: kept.by_rule.clone(),
    };
    let mut view = of_answer(case, &answer, findings, asked, interrupted);
    view.packaged = by_format(kept);
    view.packaged_hl = kept.kept.packaged.values().copied().sum::<Volume>().hectolitres();
    view.volumes = Volumes::default();
    for part in &mut view.breakdown {
        (part.planned, part.look_ahead) = (None, None);
        if part.part == parts::DELIVERED {
            part.part = words::SOLD;
        }
    }
    cut(&mut view, &kept.days);
    rename(&mut view, kept);
    let weeks = kept.weeks as f64;
    KeptView {
        a_week_hl: view.packaged_hl / weeks,
        view,
        weeks: kept.weeks,
        poured_a_week_hl: kept.kept.breakdown.poured_planned.hectolitres() / weeks,
        for_ever: kept.for_ever.map(|bound| objective_units(case, bound)),
        goods: goods(kept),
        left_out: kept.left_out.iter().map(|&left_out| words::left_out(left_out)).collect(),
    }
}

fn by_format(kept: &KeptUp) -> Vec<FormatRow> {
    let mut sums: BTreeMap<usize, Volume> = BTreeMap::new();
    for (&(_, format), &volume) in &kept.kept.packaged {
        *sums.entry(format.0).or_default() += volume;
    }
    let row = |(format, volume): (usize, Volume)| FormatRow {
        format: kept.case.formats[format].name.clone(),
        packaged_hl: volume.hectolitres(),
    };
    sums.into_iter().map(row).collect()
}

fn goods(kept: &KeptUp) -> Vec<GoodsRow> {
    let weeks = kept.weeks as f64;
    let is_sold = kept.case.aim == Aim::Orders;
    let mut rows = Vec::new();
    for (&(beer, format), wanted) in &kept.demand.goods {
        let packaged = kept.kept.packaged.get(&(beer, format)).copied().unwrap_or_default();
        let asked = wanted.asked.filter(|_| is_sold).map(Volume::hectolitres);
        let short = asked.map(|asked| (asked - packaged.hectolitres()).max(0.0) / weeks);
        rows.push(GoodsRow {
            beer: kept.case.beer(beer).name.clone(),
            format: kept.case.format(format).name.clone(),
            packaged_hl: packaged.hectolitres(),
            packaged_a_week_hl: packaged.hectolitres() / weeks,
            asked_a_week_hl: asked.map(|asked| asked / weeks),
            short_a_week_hl: short,
        });
    }
    rows
}

/// Keeps the days of the cycle.
fn cut(view: &mut View, days: &Range<usize>) {
    view.work.retain(|row| days.contains(&row.day));
    for row in &mut view.work {
        row.day -= days.start;
    }
    let (first, end) = (view.days[days.start].date.clone(), view.days[days.end - 1].date.clone());
    view.days = view.days[days.clone()].to_vec();
    for vessel in &mut view.vessels {
        vessel.cells = vessel.cells[days.clone()].to_vec();
        // Dates of one length in their order: what left before the cycle, or is filled after it, is not in it.
        vessel.stays.retain(|stay| {
            stay.until.as_ref().is_none_or(|until| *until >= first)
                && stay.from.as_ref().is_none_or(|from| *from <= end)
        });
    }
}

/// Days of the cycle in place of dates, of which it has none.
fn rename(view: &mut View, kept: &KeptUp) {
    let label = |day: i64| {
        let weekday = kept.case.calendar.date(day).strftime("%a").to_string();
        words::day(&weekday, (day - kept.days.start as i64).div_euclid(7), kept.weeks)
    };
    let last = kept.days.end as i64 + 400;
    let names: BTreeMap<String, String> = (0..last).map(|day| (date(&kept.case, day), label(day))).collect();
    let rename = |text: &mut String| {
        if let Some(name) = names.get(text) {
            text.clone_from(name);
        }
    };
    for (number, day) in view.days.iter_mut().enumerate() {
        rename(&mut day.date);
        day.label = label((kept.days.start + number) as i64);
    }
    for row in &mut view.work {
        rename(&mut row.date);
        if let Some(until) = &mut row.until {
            rename(until);
            row.until_label.clone_from(until);
        }
        for yeast in &mut row.yeast {
            yeast.cropped.iter_mut().for_each(rename);
        }
    }
    for vessel in &mut view.vessels {
        for stay in &mut vessel.stays {
            [&mut stay.from, &mut stay.ready, &mut stay.until].into_iter().flatten().for_each(rename);
        }
    }
    for row in &mut view.slack {
        let is_a_day = row.tightest_label.starts_with(|letter: char| letter.is_uppercase());
        rename(&mut row.tightest);
        if is_a_day {
            row.tightest_label.clone_from(&row.tightest);
        }
    }
    for pour in &mut view.pours {
        rename(&mut pour.date);
    }
    for day in view.taps.iter_mut().flat_map(|tap| tap.dry.iter_mut().chain(&mut tap.short)) {
        rename(&mut day.date);
        day.label.clone_from(&day.date);
    }
}
