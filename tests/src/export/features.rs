//! What a case uses beyond the plain facts. The referee names the features that it states and refuses all others.

use std::collections::BTreeSet;

use cellarwright_model::calendar::Calendar;
use cellarwright_model::case::{Away, Case, PinnedWork, RoleTimes};

/// The features of a case, each a few words, in a fixed order.
///
/// The case is taken apart by name: a new field does not compile until it is decided what it is.
#[must_use]
pub fn features(case: &Case) -> Vec<&'static str> {
    let Case {
        name: _,
        cellar: _,
        altitude_metres: _,
        show_units: _,
        clock_times,
        calendar:
            Calendar { starts: _, planned_days: _, look_ahead_days, shifts: _, work: _, deliver: _, closed: _ },
        aim: _,
        brewhouse: _,
        vessels,
        pressure: _,
        cleaning_sets: _,
        cleaning: _,
        sanitise: _,
        transfer: _,
        filters,
        carbonate: _,
        lines,
        formats: _,
        kegs,
        keg_washer,
        materials,
        crews,
        beers,
        orders: _,
        warm_store: _,
        cold_store: _,
        keep: _,
        stock: _,
        in_tank: _,
        dirty: _,
        since_full: _,
        fixed,
        taproom,
        rates: _,
        // They cost nothing in a plan.
        prices: _,
        cooling,
        yeast,
        layout: _,
    } = case;
    let mut used = BTreeSet::new();
    let mut uses = |feature: &'static str, is_used: bool| {
        if is_used {
            used.insert(feature);
        }
    };
    uses("clock times", *clock_times);
    uses("look-ahead", *look_ahead_days > 0);
    uses("conditioning tanks", vessels.iter().any(|vessel| vessel.uses.condition));
    uses(
        "vessels that ferment and are bright tanks",
        vessels.iter().any(|vessel| vessel.uses.ferment && vessel.uses.bright),
    );
    uses("serving tanks", vessels.iter().any(|vessel| vessel.uses.serve) || !taproom.pours.is_empty());
    uses("full cleans", vessels.iter().any(|vessel| vessel.full_clean.is_some()));
    uses("filters", !filters.is_empty());
    uses("pairs of formats", lines.iter().any(|line| !line.format_pairs.is_empty()));
    uses("kegs that go round", !kegs.is_empty() || keg_washer.is_some());
    uses("materials", !materials.is_empty());
    uses("people who only check", crews.iter().any(|crew| crew.check_only));
    uses("beer by both routes", beers.iter().any(|beer| beer.both));
    uses("blends", beers.iter().any(|beer| beer.blend));
    uses("tank work", beers.iter().any(|beer| !beer.tank_work.is_empty()));
    uses("yeast", !yeast.strains.is_empty());
    uses("heat", cooling.heat_a_day.is_some());
    uses("an earlier plan", fixed.earlier.is_some() || !fixed.late.is_empty() || !fixed.measured.is_empty());
    for outage in &fixed.outages {
        uses("upkeep of vessels", outage.must_be_empty || outage.soils());
        uses("people of an outage", outage.crew != RoleTimes::default());
        uses("filters", matches!(outage.what, Away::Filter(_)));
        uses("kegs that go round", matches!(outage.what, Away::KegWasher));
    }
    for pin in &fixed.pins {
        uses(
            match pin.work {
                PinnedWork::Brew { .. } => "pinned brews",
                PinnedWork::Transfer { .. } => "pinned transfers",
                PinnedWork::Tank { .. } => "pinned tank work",
                PinnedWork::Crop { .. } => "pinned crops",
                PinnedWork::Clean { .. } => "pinned cleans",
                PinnedWork::Dump { .. } => "pinned pouring away",
                PinnedWork::Package { .. } => "pinned packaging",
            },
            true,
        );
    }
    used.into_iter().collect()
}
