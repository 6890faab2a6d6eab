//! Reading `cellar.yaml`: brewhouse, vessels, cleaning, transfers. Lines and formats have their own file.

use super::cleaning;
use super::filters;
use super::format_changes;
use super::full_clean;
use super::lines;
use super::node::{Fields, Node};
use super::packages;
use super::quantity::{self, Metres, Millimetres};
use super::{store, tank_work, words};
use crate::case::{
    Brewhouse, Cleaning, ColdStore, Cooling, Filter, Format, Job, KegWasher, Line, Liquor, PressureMargins,
    Reach, Transfer, Turnaround, Uses, Vessel,
};
use crate::finding::Severity;
use crate::ids::LineId;
use crate::schema::Scalar;
use crate::units::{Minutes, Money, Pressure, Share, Volume};

/// What the cellar file holds. Beers are named in it only for "never after", resolved later.
#[derive(Debug, Default)]
pub struct Cellar<'a> {
    /// Its name.
    pub name: String,
    /// Metres above sea level.
    pub altitude_metres: i64,
    /// The brewhouse, if it could be read.
    pub brewhouse: Option<Brewhouse>,
    /// Vessels.
    pub vessels: Vec<Vessel>,
    /// Pressure margins.
    pub pressure: Option<PressureMargins>,
    /// Cleaning sets.
    pub cleaning_sets: i64,
    /// What the sets reach, how long a vessel stays clean.
    pub cleaning: Cleaning,
    /// Sanitising.
    pub sanitise: Job,
    /// Transfers.
    pub transfer: Option<Transfer>,
    /// Carbonating.
    pub carbonate: Job,
    /// What the warm store holds, if there is a limit.
    pub warm_store: Option<Volume>,
    /// The cold store, if it has a limit.
    pub cold_store: Option<ColdStore>,
    /// Lines.
    pub lines: Vec<Line>,
    /// What lies between two beers on a line.
    pub between_beers: Vec<lines::BetweenBeers<'a>>,
    /// What lies between a beer with a mark and one without it on a line.
    pub after_marks: Vec<lines::AfterMark>,
    /// Changes between formats of a line, resolved once the formats are known.
    pub format_pairs: Vec<(LineId, Node<'a>)>,
    /// What washes kegs, if anything does.
    pub keg_washer: Option<KegWasher>,
    /// Filters.
    pub filters: Vec<Filter>,
    /// Vessels by position with the node of what they reach, resolved once vessels and lines are known.
    pub reaches: Vec<(Vec<usize>, Node<'a>)>,
    /// Formats.
    pub formats: Vec<Format>,
    /// Limits of the cooling plant.
    pub cooling: Cooling,
}

/// Reads the file's root.
pub fn read<'a>(root: &Node<'a>) -> Option<Cellar<'a>> {
    let fields = root.fields()?;
    let mut cellar = Cellar { cleaning_sets: 1, ..Cellar::default() };
    cellar.name = fields.required("cellar").and_then(|node| node.name()).unwrap_or_default();
    let altitude = fields
        .optional("altitude")
        .and_then(|node| node.quantity(quantity::parse::<Metres>, Scalar::Altitude.sentence()));
    cellar.altitude_metres = altitude.map_or(0, |height| height.0);
    cellar.brewhouse = fields.required("brewhouse").and_then(|node| brewhouse(&node));
    if let Some(node) = fields.required("vessels") {
        for item in node.items(false) {
            if let Some(fields) = item.fields() {
                vessels(&fields, &mut cellar, true);
                fields.finish();
            }
        }
    }
    cellar.pressure =
        Some(fields.optional("pressure").and_then(|node| margins(&node)).unwrap_or(DEFAULT_MARGINS));
    cellar.sanitise = fields.optional("sanitise").and_then(|node| words::job(&node)).unwrap_or_default();
    cellar.transfer = fields.optional("transfer").map_or(Some(NO_TRANSFER), |node| transfer(&node));
    cellar.carbonate = fields.optional("carbonate").and_then(|node| words::job(&node)).unwrap_or_default();
    cellar.warm_store = fields.optional("warm_store").and_then(|node| words::volume(&node));
    cellar.cooling = tank_work::cooling(&fields);
    if let Some(node) = fields.required("lines") {
        for item in node.items(false) {
            lines::line(&item, &mut cellar);
        }
    }
    if let Some(node) = fields.required("formats") {
        for item in node.items(false) {
            lines::format(&item, &mut cellar);
        }
    }
    format_changes::resolve(&mut cellar);
    if let Some(node) = fields.optional("cleaning") {
        cleaning::read(&node, &mut cellar);
    }
    cellar.keg_washer = fields.optional("keg_washer").and_then(|node| packages::washer(&node));
    let cold_store = fields.optional("cold_store");
    cellar.cold_store = cold_store.and_then(|node| store::cold_store(&node, &cellar.formats));
    cellar.filters = filters::read(&fields);
    filters::resolve(&mut cellar);
    fields.finish();
    Some(cellar)
}

/// Turns of a day at most.
pub(crate) const MOST_TURNS: i64 = 24;

const DEFAULT_MARGINS: PressureMargins =
    PressureMargins { below_relief: Share(100_000), breakout: Pressure::ZERO };
const NO_TRANSFER: Transfer = Transfer {
    job: Job { takes: Minutes::ZERO, crew: crate::case::RoleTimes([Minutes::ZERO; 3]) },
    loss_fixed: Volume::ZERO,
    loss_share: Share::ZERO,
    at_once: None,
};

fn brewhouse(node: &Node) -> Option<Brewhouse> {
    let fields = node.fields()?;
    let turn = fields.required("turn").and_then(|node| words::volume(&node));
    let least_turn = fields.optional("least_turn").map_or(Some(Volume::ZERO), |node| words::volume(&node));
    let first_turn = fields.required("first_turn").and_then(|node| words::job(&node));
    let next_turn = fields.optional("next_turn").map_or(first_turn, |node| words::job(&node));
    let knock_out = fields.optional("knock_out").map_or(Some(Minutes(60)), |node| words::time(&node));
    let turns = fields.required("turns_per_day").and_then(|node| node.whole(1, MOST_TURNS));
    let hours = fields.optional("hours_per_day").map_or(Some(DAY), |node| words::time(&node));
    let liquor = fields.optional("liquor").map(|node| liquors(&node)).unwrap_or_default();
    let within = fields.optional("fill_within").map_or(Some(DAY), |node| words::time(&node));
    fields.finish();
    let turn = positive(&fields, "turn", turn)?;
    if let Some(node) = fields.optional("least_turn").filter(|_| least_turn.is_some_and(|least| least > turn))
    {
        node.error("V412", &format!("at most the brewhouse's `turn`, {}", node.units().size(turn)), None);
    }
    Some(Brewhouse {
        turn,
        least_turn: least_turn?,
        first_turn: first_turn?,
        next_turn: next_turn?,
        knock_out: knock_out?,
        turns_per_day: turns?,
        hours_per_day: hours?,
        fill_within: within?,
        liquor,
    })
}

/// Hot and cold liquor: `{hot: {tank: 30 hL, per_turn: 24 hL, makes: 6 hL/h}}`.
fn liquors(node: &Node) -> Vec<Liquor> {
    let Some(fields) = node.fields() else { return Vec::new() };
    let mut found = Vec::new();
    for key in ["hot", "cold"] {
        let Some(entry) = fields.optional(key).and_then(|node| node.fields()) else { continue };
        let tank = entry.required("tank").and_then(|node| words::volume(&node));
        let per_turn_node = entry.required("per_turn");
        let per_turn = per_turn_node.as_ref().and_then(words::volume);
        let makes = entry.required("makes").and_then(|node| words::rate(&node));
        entry.finish();
        if let (Some(tank), Some(per_turn), Some(makes)) = (tank, per_turn, makes) {
            if let Some(node) = per_turn_node.filter(|_| per_turn > tank) {
                node.error(
                    "V545",
                    &format!("at most what the tank holds, {}", node.units().size(tank)),
                    None,
                );
            }
            found.push(Liquor { tank, per_turn, makes });
        }
    }
    fields.finish();
    found
}

const DAY: Minutes = Minutes(24 * 60);

/// A volume that must be more than nothing.
pub fn positive(fields: &Fields, key: &'static str, volume: Option<Volume>) -> Option<Volume> {
    if volume == Some(Volume::ZERO)
        && let Some(node) = fields.optional(key)
    {
        node.error("V305", "more than nothing", None);
        return None;
    }
    volume
}

fn uses(node: &Node) -> Uses {
    let mut uses = Uses::default();
    for item in node.items(true) {
        match item.one_of(&[("ferment", 0), ("package", 1), ("bright", 2), ("serve", 3), ("condition", 4)]) {
            Some(0) => uses.ferment = true,
            Some(1) => uses.package = true,
            Some(2) => uses.bright = true,
            Some(3) => uses.serve = true,
            Some(_) => uses.condition = true,
            None => {}
        }
    }
    uses
}

const TURNAROUNDS: [(&str, Turnaround); 2] =
    [("same shift", Turnaround::SameShift), ("next shift", Turnaround::NextShift)];

/// Reads vessels that are alike and adds them; of those that are not in the cellar yet nothing is asked that names others of it.
pub fn vessels<'a>(fields: &Fields<'a>, cellar: &mut Cellar<'a>, is_there: bool) -> Option<()> {
    let names = fields.required("names");
    let uses_node = fields.required("uses");
    let uses = uses_node.as_ref().map(uses).unwrap_or_default();
    let holds = fields.required("holds").and_then(|node| words::volume(&node));
    let holds = positive(fields, "holds", holds);
    let least_node = fields.optional("least");
    let least = least_node.as_ref().map_or(Some(Volume::ZERO), words::volume);
    let rated = fields.required("rated").and_then(|node| words::pressure(&node));
    let relief_node = fields.optional("relief");
    let relief = relief_node.as_ref().map_or(rated, words::pressure);
    let mut clean = Job::default();
    let mut clean_after = Turnaround::SameShift;
    let mut full = None;
    if let Some(cleaning) = fields.required("clean").and_then(|node| node.fields()) {
        let takes = cleaning.required("takes").and_then(|node| words::time(&node));
        let crew = cleaning.required("crew").and_then(|node| words::role_times(&node));
        let after = cleaning.optional("after").and_then(|node| node.one_of(&TURNAROUNDS));
        clean = Job { takes: takes.unwrap_or_default(), crew: crew.unwrap_or_default() };
        clean_after = after.unwrap_or(Turnaround::SameShift);
        if is_there {
            let node = cleaning.optional("full");
            full = node.and_then(|node| full_clean::full(&node, clean, &mut cellar.cleaning));
        }
        cleaning.finish();
    }
    let height = fields
        .optional("beer_height")
        .and_then(|node| node.quantity(quantity::parse::<Millimetres>, Scalar::Height.sentence()));
    let beer_height = height.map_or(0, |height| height.0);
    let refill = fields.optional("refill").and_then(|node| node.one_of(&TURNAROUNDS));
    let purge_node = fields.optional("purge");
    let purge = purge_node.as_ref().and_then(cleaning::purge).unwrap_or_default();
    if let Some(node) = purge_node.filter(|_| !uses.bright && !uses.serve) {
        let hint = "`purge` is for vessels that a transfer fills";
        node.report("V562", Severity::Error, "purge", "a vessel with `bright` or `serve`", Some(hint.into()));
    }
    let reaches = if is_there { fields.optional("reaches") } else { None };
    let rest_node = if is_there { fields.optional("rest") } else { None };
    let rest = rest_node.as_ref().and_then(words::time).unwrap_or_default();
    let price: Option<Money> = fields.optional("price").and_then(|node| words::money(&node));
    let (holds, least, rated, relief) = (holds?, least?, rated?, relief?);
    if let Some(node) = least_node.filter(|_| least > holds) {
        node.error("V306", &format!("at most what it holds, {}", node.units().size(holds)), None);
    }
    if let Some(node) = relief_node.filter(|_| relief > rated) {
        let hint = "a relief device is set at or below the rating of the data plate";
        node.error("V307", &format!("at most its rating, {}", node.units().rating(rated)), Some(hint.into()));
    }
    if uses.package
        && !(uses.ferment || uses.condition)
        && let Some(node) = &uses_node
    {
        let hint = "a vessel that is only filled from fermenters has `bright`";
        node.error("V507", "`package` together with `ferment` or `condition`", Some(hint.into()));
    }
    if uses.serve
        && !uses.bright
        && (uses.ferment || uses.condition || uses.package)
        && let Some(node) = &uses_node
    {
        let hint = "alone it is filled with carbonated beer, with `bright` from a fermenter";
        node.error("V583", "`serve` alone, or together with `bright`", Some(hint.into()));
    }
    if let Some(node) = rest_node.filter(|_| !uses.serve && uses_node.is_some()) {
        node.error("V582", "`rest` in a vessel that lists `serve`", None);
    }
    let first = cellar.vessels.len();
    let all = &mut cellar.vessels;
    for item in names?.items(true) {
        let Some(name) = item.name() else { continue };
        if all.iter().any(|vessel| vessel.name == name) {
            item.error("V205", "a name that no other vessel has", None);
            continue;
        }
        let refill = refill.unwrap_or(Turnaround::NextShift);
        all.push(Vessel {
            name,
            uses,
            holds,
            least,
            rated,
            relief,
            clean,
            full_clean: full,
            beer_height,
            reach: Reach::ALL,
            purge,
            rest,
            clean_after,
            refill,
            reaches: None,
            price,
        });
    }
    let ids: Vec<usize> = (first..all.len()).collect();
    cellar.reaches.extend(reaches.map(|node| (ids, node)));
    Some(())
}

fn margins(node: &Node) -> Option<PressureMargins> {
    let fields = node.fields()?;
    let margin =
        fields.optional("margin").map_or(Some(DEFAULT_MARGINS.below_relief), |node| words::share(&node));
    let breakout = fields.optional("breakout").map_or(Some(Pressure::ZERO), |node| words::pressure(&node));
    fields.finish();
    Some(PressureMargins { below_relief: margin?, breakout: breakout? })
}

fn transfer(node: &Node) -> Option<Transfer> {
    let fields = node.fields()?;
    let takes = fields.required("takes").and_then(|node| words::time(&node));
    let crew = fields.required("crew").and_then(|node| words::role_times(&node));
    let loss = fields.optional("loss").map_or(Some((Volume::ZERO, Share::ZERO)), |node| {
        node.quantity(quantity::parse_loss, Scalar::Loss.sentence())
    });
    let at_once = fields.optional("at_once").and_then(|node| node.whole(1, 50));
    fields.finish();
    let (loss_fixed, loss_share) = loss?;
    Some(Transfer { job: Job { takes: takes?, crew: crew? }, loss_fixed, loss_share, at_once })
}
