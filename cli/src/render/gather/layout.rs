//! The view of a choice of vessels.

use cellarwright_model::case::{Case, Layout, Purchase};
use cellarwright_model::finding::Finding;
use cellarwright_model::units::{Area, Volume};
use cellarwright_solver::layout::{
    After, Bought, Built, Family, Freed, Frontier, Laid, Largest, Outcome, Peak, Resource, a_year,
};

use super::{cautions_of_input, day_label};
use crate::render::view::{
    BoughtRow, Caution, DaysRow, FamilyRow, ForbidsRow, LayoutView, PeakRow, PeakShort, PointRow, Purchases,
    SavedRow, SeasonRow,
};
use crate::render::words as words_of;
use crate::render::words::layout as words;

/// The view of an answer.
#[must_use]
pub fn of_laid(case: &Case, change: Option<String>, laid: &Laid, findings: &[Finding]) -> LayoutView {
    let mut cautions = cautions_of_input(findings);
    let always = [words_of::cautions::PRESSURE, words_of::cautions::CLEANING, words_of::cautions::GAS];
    cautions.extend(always.map(|text| Caution { code: None, text: text.to_owned() }));
    let mut view = LayoutView {
        status: "unknown",
        title: case.name.clone(),
        cellar: case.cellar.clone(),
        change,
        units: case.show_units,
        weeks: laid.weeks,
        seconds: laid.seconds,
        asked_a_week_hl: 0.0,
        bound_of_any_cycle: laid.for_ever.map(|bound| bound.units()),
        share_bound_of_any_cycle: laid.in_fractions,
        saved: None,
        frontier: Vec::new(),
        frontier_complete: laid.frontier.is_complete,
        most: None,
        peak: None,
        assumptions: Vec::new(),
        cautions,
        families: Vec::new(),
    };
    if let Some(layout) = &case.layout {
        let of = Of { case, layout, weeks: laid.weeks };
        view.asked_a_week_hl = asked_a_week(layout);
        view.families = laid.families.iter().map(|(family, outcome)| of.family(*family, outcome)).collect();
        view.status = view.families.first().map_or("unknown", |row| row.status);
        view.saved = saved(&view.families);
        (view.frontier, view.most) = of.frontier(&laid.frontier);
        view.assumptions = words::assumptions(case, layout);
    }
    view
}

/// The view with the busiest weeks: none where they were not asked for, or no layout meets the demand; none within where no plan was found.
#[must_use]
pub fn with_peak(mut view: LayoutView, case: &Case, peak: Option<Option<&Peak>>) -> LayoutView {
    if let Some(Some(_)) = peak {
        let holidays = view.assumptions.iter_mut().filter(|one| *one == words::HOLIDAYS);
        holidays.for_each(|one| *one = words::HOLIDAYS_IN_PEAK.to_owned());
    }
    view.peak = peak.map(|peak| peak.map_or_else(no_peak, |peak| peak_row(case, peak)));
    view
}

fn no_peak() -> PeakRow {
    PeakRow {
        status: "unknown",
        season: String::new(),
        weeks: 0,
        from: String::new(),
        from_label: String::new(),
        asked_hl: 0.0,
        delivered_hl: 0.0,
        most_hl: 0.0,
        short: Vec::new(),
    }
}

fn peak_row(case: &Case, peak: &Peak) -> PeakRow {
    let missed: Volume = peak.short.values().copied().sum();
    let status = match (missed > Volume::ZERO, peak.most < peak.asked) {
        (false, _) => "filled",
        (true, true) => "short",
        (true, false) => "unproven",
    };
    let seasons = case.layout.iter().flat_map(|layout| &layout.seasons);
    let short = peak.short.iter().map(|(&(beer, format), volume)| PeakShort {
        beer: case.beer(beer).name.clone(),
        format: case.format(format).name.clone(),
        short_hl: volume.hectolitres(),
    });
    PeakRow {
        status,
        season: seasons.map(|season| season.name.clone()).nth(peak.season).unwrap_or_default(),
        weeks: peak.weeks,
        from: case.calendar.date(peak.first_day).to_string(),
        from_label: day_label(case, peak.first_day),
        asked_hl: peak.asked.hectolitres(),
        delivered_hl: peak.delivered.hectolitres(),
        most_hl: peak.most.hectolitres(),
        short: short.collect(),
    }
}

/// What is asked for, a week on average over the weeks of all seasons.
fn asked_a_week(layout: &Layout) -> f64 {
    let weeks: i64 = layout.seasons.iter().map(|season| season.weeks).sum();
    let asked = layout.seasons.iter().map(|season| {
        let a_week: Volume = season.demand.iter().map(|asked| asked.a_week).sum();
        a_week.hectolitres() * season.weeks as f64
    });
    asked.sum::<f64>() / weeks.max(1) as f64
}

/// What a bright tank saves, where both ways meet the demand.
fn saved(families: &[FamilyRow]) -> Option<SavedRow> {
    let of = |family: Family| {
        let place = Family::ALL.iter().position(|&other| other == family)?;
        families.get(place).filter(|row| row.status == "met")
    };
    let (direct, bright) = (of(Family::Direct)?, of(Family::Bright)?);
    let days_a_batch = direct.after_ready?.together - bright.after_ready?.together;
    let fills_a_week = bright.bright_fills_a_week?;
    Some(SavedRow { days_a_batch, fills_a_week, fermenters_freed: fills_a_week * days_a_batch / 7.0 })
}

fn m2(floor: Area) -> f64 {
    floor.0 as f64 / 1e4
}

struct Of<'a> {
    case: &'a Case,
    layout: &'a Layout,
    weeks: usize,
}

impl Of<'_> {
    fn family(&self, family: Family, outcome: &Outcome) -> FamilyRow {
        let mut row = FamilyRow {
            family: words::family(family),
            status: "unknown",
            purchases: Purchases::default(),
            running_a_year: None,
            cost_a_year: None,
            bound_a_year: None,
            gap: None,
            complete: None,
            confirmed: None,
            share: None,
            share_bound: None,
            share_replayed: None,
            forbids: Vec::new(),
            tried_all: None,
            excluded: Vec::new(),
            seasons: Vec::new(),
            after_ready: None,
            bright_fills_a_week: None,
        };
        match outcome {
            Outcome::Met(cheapest) => {
                row.status = "met";
                row.purchases = self.purchases(&cheapest.bought);
                row.running_a_year = Some(cheapest.built.running.units());
                row.cost_a_year = Some(cheapest.cost.units());
                row.bound_a_year = Some(cheapest.bound.units());
                let cost = cheapest.cost.0.max(1) as f64;
                row.gap = Some((cheapest.cost.0 - cheapest.bound.0) as f64 / cost);
                row.complete = Some(cheapest.is_complete);
                row.confirmed = Some(cheapest.confirmed);
                self.built(&mut row, &cheapest.built);
            }
            Outcome::NotMet { largest, forbids, tried_all } => {
                row.status = "not_met";
                row.purchases = self.purchases(&largest.bought);
                row.share = Some(largest.share);
                // All of it is not met, whatever the search for the share had time to show.
                row.share_bound = Some(largest.bound.min(1.0));
                row.share_replayed = Some(largest.built.is_some());
                row.confirmed = Some(largest.confirmed);
                if family == Family::Any {
                    row.tried_all = Some(*tried_all);
                    row.forbids = forbids.iter().map(|freed| self.freed(freed)).collect();
                }
                if let Some(built) = &largest.built {
                    self.built(&mut row, built);
                }
            }
            Outcome::Excluded(beers) => {
                row.status = "excluded";
                row.excluded = beers.iter().map(|&beer| self.case.beer(beer).name.clone()).collect();
            }
            Outcome::Short(bound) => {
                row.status = "not_met";
                row.share_bound = Some(bound.map_or(1.0, |bound| bound.min(1.0)));
            }
            Outcome::Unknown(bound) => row.bound_a_year = bound.map(|bound| bound.units()),
        }
        row
    }

    fn freed(&self, freed: &Freed) -> ForbidsRow {
        let resources = freed.resources.iter().map(|one| self.resource(one)).collect();
        ForbidsRow { resources, share: freed.share }
    }

    fn resource(&self, resource: &Resource) -> String {
        match resource {
            Resource::Crew(crew) => words::crew(&self.case.crew(*crew).name),
            Resource::Line(line) => words::line(&self.case.line(*line).name),
            Resource::Vessels(names) => words::vessels(names),
            Resource::Brewhouse => words::BREWHOUSE.to_owned(),
            Resource::CleaningSets => words::CLEANING_SETS.to_owned(),
            Resource::Transfers => words::TRANSFERS.to_owned(),
            Resource::Cooling => words::COOLING.to_owned(),
            Resource::Price => words::PRICE_LIMIT.to_owned(),
            Resource::Floor => words::FLOOR_LIMIT.to_owned(),
        }
    }

    fn purchases(&self, bought: &Bought) -> Purchases {
        let layout = self.layout;
        let mut rows = Vec::new();
        let mut add = |name: String, count: i64, purchase: &Purchase| {
            if count > 0 {
                let times = count as f64;
                rows.push(BoughtRow {
                    name,
                    count,
                    price: purchase.price.units() * times,
                    a_year: a_year(purchase, layout.interest).units() * times,
                    floor_m2: m2(purchase.floor) * times,
                });
            }
        };
        for (offer, &count) in layout.vessels.iter().zip(&bought.vessels) {
            let taken = offer.vessels.iter().take(usize::try_from(count).unwrap_or(0));
            let names: Vec<&str> = taken.map(|vessel| vessel.name.as_str()).collect();
            add(names.join(", "), count, &offer.purchase);
        }
        for (further, &count) in layout.further.iter().zip(&bought.further) {
            add(further.name.clone(), count, &further.purchase);
        }
        Purchases {
            bought: rows,
            price: bought.price(layout).units(),
            bought_a_year: bought.a_year(layout).units(),
            floor_m2: m2(bought.floor(layout)),
        }
    }

    fn built(&self, row: &mut FamilyRow, built: &Built) {
        for (season, found) in self.layout.seasons.iter().zip(&built.seasons) {
            let asked: Volume = season.demand.iter().map(|asked| asked.a_week).sum();
            let packaged: Volume = found.packaged.iter().map(|&(_, _, volume)| volume).sum();
            row.seasons.push(SeasonRow {
                season: season.name.clone(),
                weeks: season.weeks,
                running_a_week: found.a_week.units(),
                packaged_a_week_hl: packaged.hectolitres(),
                asked_a_week_hl: asked.hectolitres(),
                wort_a_week_hl: found.wort.hectolitres(),
            });
        }
        if built.after.batches > 0 {
            row.after_ready = Some(days(&built.after));
        }
        let most = built.seasons.iter().map(|season| season.bright_fills).max().unwrap_or(0);
        if built.bright_tanks > 0 && most > 0 {
            row.bright_fills_a_week = Some(most as f64 / (self.weeks * built.bright_tanks) as f64);
        }
    }

    fn frontier(&self, frontier: &Frontier) -> (Vec<PointRow>, Option<PointRow>) {
        let points = frontier.points.iter().map(|point| self.point(&point.largest, point.least.units()));
        let most = frontier.most.as_ref().map(|most| self.point(most, 0.0));
        (points.collect(), most)
    }

    fn point(&self, largest: &Largest, least_a_year: f64) -> PointRow {
        PointRow {
            purchases: self.purchases(&largest.bought),
            least_a_year,
            share: largest.share,
            share_bound: largest.bound,
            confirmed: largest.confirmed,
            output_a_week_hl: largest.share * asked_a_week(self.layout),
            running_a_year: largest.built.as_ref().map(|built| built.running.units()),
        }
    }
}

fn days(after: &After) -> DaysRow {
    let each = |days: i64| days as f64 / after.batches.max(1) as f64;
    DaysRow {
        waiting: each(after.waiting),
        leaving: each(after.leaving),
        turnaround: each(after.turnaround),
        together: after.a_batch(),
        batches: after.batches,
    }
}
