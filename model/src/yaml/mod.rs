//! From the two YAML files (and the orders' CSV) to a case: every finding of all files at once.
//!
//! `library` finds the texts, `guard` looks at each before a parser does, `node` walks the values, `cellar`, `brewplan`, `beers`, `orders` and `opening`
//! read one concept each, `causes` leaves out what only follows, `sense` checks across files, `span` finds lines and columns.

mod beers;
mod brewplan;
mod causes;
mod cellar;
mod cleaning;
mod crews;
mod filters;
mod fixed;
mod format_changes;
mod full_clean;
mod guard;
mod happened;
mod layout;
mod library;
mod lines;
pub(crate) mod node;
mod opening;
mod order_rows;
pub(crate) mod orders;
mod packages;
mod patch;
mod pins;
pub(crate) mod pressure;
mod prices;
pub(crate) mod quantity;
mod sense;
mod span;
pub(crate) mod store;
mod study;
mod tables;
mod tank_work;
mod taproom;
mod weekly;
pub(crate) mod words;
mod yeast;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_yaml::Value;

use crate::case::{Case, Yeasts};
use crate::finding::{Finding, Severity};
use crate::measures::UnitSystem;
pub use happened::{HappenedOutcome, read_happened};
pub use library::Kept;
pub use study::{StudyOutcome, read_study};

use cellar::Cellar;
use library::{Folder, Keeping, Library, Memory, load};
use node::{Fields, Findings, Node};
use patch::{Change, Document, Origins};

pub(crate) use brewplan::MOST_SHIFTS;
pub(crate) use cellar::MOST_TURNS;
pub(crate) use cleaning::MOST_SETS as MOST_NAMED_SETS;
pub(crate) use crews::MOST_PEOPLE;
pub(crate) use node::did_you_mean;

/// Every code that reading can bring.
pub const ALL_CODES: &[&str] = &[
    "V537", "V538", "V539", // changes between formats of a line
    "V153", "V154", "V155", "V156", "V157", "V158", // what happened
    "V160", "V161", "V162", // prices of levers
    "V189", "V194", // a study
    "V100", "V101", "V102", "V103", "V104", "V105", "V106", "V107", "V108", "V109", "V110", "V111", "V112",
    "V113", "V114", "V141", "V142", "V143", "V144", "V145", "V146", "V147", "V148", "V149", "V150", "V151",
    "V152", "V173", "V174", "V175", "V176", "V177", "V178", "V179", "V180", "V181", "V201", "V202", "V203",
    "V204", "V205", "V206", "V207", "V208", "V209", "V231", "V232", "V291", "V301", "V302", "V303", "V304",
    "V305", "V306", "V307", "V308", "V401", "V402", "V403", "V404", "V405", "V406", "V407", "V408", "V409",
    "V410", "V411", "V412", "V421", "V422", "V423", "V424", "V425", "V431", "V432", "V433", "V441", "V442",
    "V470", "V471", "V472", "V473", "V474", "V475", "V476", "V477", "V478", "V479", "V480", "V481", "V482",
    "V483", "V484", "V485", "V486", "V487", "V488", "V501", "V502", "V503", "V504", "V505", "V506", "V507",
    "V508", "V509", "V510", "V511", "V512", "V513", "V514", "V531", "V532", "V533", "V534", "V535", "V536",
    "V541", "V542", "V543", "V544", "V545", "V546", "V561", "V562", "V563", "V564", "V565", "V566", "V567",
    "V568", "V569", "V570", "V571", "V572", "V580", "V581", "V582", "V583", "V586", "V591", "V592", "V593",
    "V594", "V595", "V596", "V597", "V598",
];

/// What came of reading.
#[derive(Clone, Debug, Default)]
pub struct ReadOutcome {
    /// The case; none if any finding is an error.
    pub case: Option<Case>,
    /// All findings, by file and line.
    pub findings: Vec<Finding>,
    /// The texts of the files, by the names used in places.
    pub sources: BTreeMap<String, String>,
    /// The title of the change, where one was made.
    pub change: Option<String>,
}

/// What a brew plan is read with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum With<'f> {
    /// The files as they are.
    #[default]
    Nothing,
    /// Another cellar in place of its own.
    Cellar(&'f str),
    /// A change, made to both documents before they are read.
    Change(&'f str),
}

/// What a file is, by its keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A brew plan.
    BrewPlan,
    /// A cellar.
    Cellar,
    /// A change to a brew plan and its cellar.
    Change,
}

/// Tells what a file is; what is wrong with it otherwise, in the findings of the outcome.
///
/// # Errors
/// An outcome with the findings and the text, where the file is none of the three or cannot be read.
pub fn kind_of_file(path: &Path) -> Result<FileKind, Box<ReadOutcome>> {
    let mut outcome = ReadOutcome::default();
    let (file, value) = load(&Folder(PathBuf::new()), &path.display().to_string(), &mut outcome);
    if let Some(value) = value {
        let has = |key: &str| value.get(key).is_some();
        // A brew plan names its cellar, so it is asked for first.
        for (key, kind) in [
            (patch::CHANGE, FileKind::Change),
            ("brewplan", FileKind::BrewPlan),
            ("cellar", FileKind::Cellar),
        ] {
            if has(key) {
                return Ok(kind);
            }
        }
        let allowed = "a brew plan (`brewplan`), a cellar (`cellar`) or a change (`change`)";
        outcome.findings.push(guard::about_file("V143", &file, Some(1), "no key that says so", allowed));
    }
    Err(Box::new(outcome))
}

/// Reads a brew plan and what it refers to.
#[must_use]
pub fn read_case(brewplan: &Path) -> ReadOutcome {
    read_case_in(brewplan, With::Nothing, None)
}

/// Reads a brew plan with another cellar, or with a change; their paths are not relative to the brew plan. Quantities are
/// shown in the units asked for, in the brew plan's own where none are.
#[must_use]
pub fn read_case_in(brewplan: &Path, with: With, units: Option<UnitSystem>) -> ReadOutcome {
    let (folder, name) = folder_and_name(brewplan);
    read(&Folder(folder), &name, &Beside { library: &Folder(PathBuf::new()), with, units })
}

/// The name under which a change is kept beside the files of a brew plan.
pub const CHANGE_KEPT: &str = "the change";

/// Reads a brew plan, with a change where one is given, and keeps every file that was read, the brew plan first: `read_texts_with` reads the same from them.
#[must_use]
pub fn read_case_kept(
    brewplan: &Path,
    change: Option<&str>,
    units: Option<UnitSystem>,
) -> (ReadOutcome, Vec<Kept>) {
    let (folder, name) = folder_and_name(brewplan);
    let (folder, anywhere) = (Folder(folder), Folder(PathBuf::new()));
    let (named, changing) = (Keeping::new(&folder, None), Keeping::new(&anywhere, Some(CHANGE_KEPT)));
    let with = change.map_or(With::Nothing, With::Change);
    let outcome = read(&named, &name, &Beside { library: &changing, with, units });
    let mut kept = named.take();
    kept.extend(changing.take());
    (outcome, kept)
}

/// The folder of a file and its name in there.
fn folder_and_name(path: &Path) -> (PathBuf, String) {
    let folder = path.parent().unwrap_or(Path::new("")).to_owned();
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    (folder, name)
}

/// Whether a case that was read, and changed since, has nothing that a reader of its files would refuse across them.
pub(crate) fn is_sound(case: &Case) -> bool {
    let files = sense::Files { brewplan: "", cellar: "" };
    sense::check(case, &files).iter().all(|finding| finding.severity != Severity::Error)
}

/// Reads a case from texts in memory: names and bytes; the first is the brew plan.
#[must_use]
pub fn read_texts(texts: &[(&str, &[u8])]) -> ReadOutcome {
    read_texts_with(texts, With::Nothing)
}

/// Reads a case from texts in memory with another cellar, or with a change, which is one of the texts.
#[must_use]
pub fn read_texts_with(texts: &[(&str, &[u8])], with: With) -> ReadOutcome {
    match texts.first() {
        Some((name, _)) => read(&Memory(texts), name, &Beside { library: &Memory(texts), with, units: None }),
        None => ReadOutcome::default(),
    }
}

/// What is taken beside the brew plan.
struct Beside<'b> {
    /// Where another cellar or a change comes from.
    library: &'b dyn Library,
    with: With<'b>,
    /// Units to show quantities in, in place of the brew plan's own.
    units: Option<UnitSystem>,
}

fn read(library: &dyn Library, name: &str, beside: &Beside) -> ReadOutcome {
    let mut outcome = ReadOutcome::default();
    let mut origins = Origins::default();
    let case = read_both(library, name, beside, &mut outcome, &mut origins);
    origins.place(&mut outcome.findings);
    sorted(&mut outcome);
    let is_broken = outcome.findings.iter().any(|finding| finding.severity == Severity::Error);
    outcome.case = case.filter(|_| !is_broken);
    outcome
}

/// Gives findings their lines and puts them in order.
fn sorted(outcome: &mut ReadOutcome) {
    let sources = &outcome.sources;
    for (file, text) in sources {
        span::locate(&mut outcome.findings, file, text);
    }
    outcome.findings.sort_by(|one, other| {
        let key = |finding: &Finding| (finding.place.clone(), finding.code);
        let (one, other) = (key(one), key(other));
        (&one.0.file, one.0.line, one.0.column, one.1).cmp(&(
            &other.0.file,
            other.0.line,
            other.0.column,
            other.1,
        ))
    });
}

fn read_both(
    library: &dyn Library,
    name: &str,
    beside: &Beside,
    outcome: &mut ReadOutcome,
    origins: &mut Origins,
) -> Option<Case> {
    let (change_file, change_value) = match beside.with {
        With::Change(name) => load(beside.library, name, outcome),
        With::Nothing | With::Cellar(_) => (String::new(), None),
    };
    let findings = Findings::new(&change_file);
    let change = change_value.as_ref().and_then(|value| Change::read(value, &findings));
    let is_there = change.is_some() || !matches!(beside.with, With::Change(_));
    outcome.change = change.as_ref().and_then(|change| change.title.clone());
    let changing = Changing { change, findings, origins };
    read_documents(library, name, beside, changing, outcome).filter(|_| is_there)
}

/// A change on its way through both documents.
struct Changing<'c, 'v> {
    change: Option<Change<'v>>,
    findings: Findings,
    origins: &'c mut Origins,
}

impl Changing<'_, '_> {
    fn changed(&mut self, document: Document, file: &str, value: Value) -> Value {
        match &self.change {
            Some(change) => change.apply(document, file, &value, self.origins),
            None => value,
        }
    }
}

/// Reads brew plan and cellar, each changed first.
fn read_documents(
    library: &dyn Library,
    name: &str,
    beside: &Beside,
    mut changing: Changing,
    outcome: &mut ReadOutcome,
) -> Option<Case> {
    let (brewplan_file, brewplan_value) = load(library, name, outcome);
    let Some(brewplan_value) = brewplan_value else {
        outcome.findings.extend(changing.findings.take());
        return None;
    };
    let brewplan_value = changing.changed(Document::BrewPlan, &brewplan_file, brewplan_value);
    let findings = Findings::new(&brewplan_file);
    let root = Node::root(&brewplan_value, findings.clone());
    let Some(fields) = root.fields() else {
        outcome.findings.extend(findings.take());
        outcome.findings.extend(changing.findings.take());
        return None;
    };
    let show_units = show_units(&fields).map(|own| beside.units.unwrap_or(own));
    findings.show_in(show_units);
    let cellar_name = fields.required("cellar").and_then(|node| node.text("the path of a file"));
    let (cellar_file, cellar_value) = match (beside.with, &cellar_name) {
        (With::Cellar(other), _) => load(beside.library, other, outcome),
        (_, Some(cellar_name)) => load(library, cellar_name, outcome),
        (_, None) => (String::new(), None),
    };
    let cellar_value = cellar_value.map(|value| changing.changed(Document::Cellar, &cellar_file, value));
    let change_faults = changing.findings.take();
    let is_changed_well = change_faults.is_empty();
    outcome.findings.extend(change_faults);
    let cellar_findings = Findings::new(&cellar_file);
    cellar_findings.show_in(show_units);
    let cellar_root = cellar_value.as_ref().map(|value| Node::root(value, cellar_findings.clone()));
    let cellar = cellar_root.as_ref().and_then(cellar::read);
    let has_cellar = cellar.is_some();
    let case = lower(library, &fields, cellar.unwrap_or_default(), show_units, outcome);
    // Without a cellar every name of a vessel, line or format would be unknown: only the first cause is told.
    let keep = |finding: &Finding| has_cellar || !matches!(finding.code, "V201" | "V203" | "V206");
    outcome.findings.extend(findings.take().into_iter().filter(keep));
    outcome.findings.extend(cellar_findings.take());
    if !has_cellar {
        outcome.findings.retain(keep);
    }
    let values: Vec<&Value> = [Some(&brewplan_value), cellar_value.as_ref()].into_iter().flatten().collect();
    causes::keep_first(&mut outcome.findings, &values);
    let case = case.filter(|_| is_changed_well)?;
    if !outcome.findings.iter().any(|finding| finding.severity == Severity::Error) {
        let files = sense::Files { brewplan: &brewplan_file, cellar: &cellar_file };
        // What can be bought counts as there: a beer may wait for its vessel.
        outcome.findings.extend(sense::check(&case.with_offers(), &files));
    }
    Some(case)
}

/// Units in which quantities are shown.
fn show_units(fields: &Fields) -> Option<UnitSystem> {
    fields.optional("show_units").map_or(Some(UnitSystem::Metric), |node| {
        node.one_of(&[("metric", UnitSystem::Metric), ("us", UnitSystem::Us)])
    })
}

fn lower(
    library: &dyn Library,
    fields: &Fields,
    mut cellar: Cellar,
    show_units: Option<UnitSystem>,
    outcome: &mut ReadOutcome,
) -> Option<Case> {
    let name = fields.required("brewplan").and_then(|node| node.name());
    let mut crews = crews::read(fields);
    let calendar = brewplan::calendar(fields, &mut crews);
    let strains = yeast::strains(fields);
    let mut beers = Vec::new();
    for node in fields.required("beers").map(|node| node.items(false)).unwrap_or_default() {
        beers.extend(beers::read(&node, &cellar, &beers, &strains));
    }
    let between = std::mem::take(&mut cellar.between_beers);
    lines::resolve(between, |node| brewplan::beer_of(node, &beers), &mut cellar.lines);
    lines::resolve_marks(&std::mem::take(&mut cellar.after_marks), &beers, &mut cellar.lines);
    let clock_times = fields.optional("clock_times").map_or(Some(false), |node| node.yes_or_no());
    let aim = brewplan::aim(fields, &beers, &cellar.formats);
    let rates = brewplan::rates(fields);
    let taproom = taproom::read(fields, &beers);
    let orders_node = fields.optional("orders");
    let weekly_node = fields.optional("rates");
    let keep = store::keep(fields, &beers, &cellar.formats);
    for key in [
        "stock",
        "in_tank",
        "dirty",
        "since_full",
        "outages",
        "upkeep",
        "pinned",
        "kegs",
        "materials",
        "prices",
        "yeast_in_store",
        "layout",
    ] {
        // Read further down, once beers and days are known; known here, so that it is not called unknown.
        fields.will_read(key);
    }
    fields.finish();
    let calendar = calendar?;
    let known = orders::Known { beers: &beers, formats: &cellar.formats, calendar: &calendar };
    let csv = orders::csv_path(fields).filter(|path| !is_workbook(library, path));
    let mut orders = match (csv, orders_node) {
        (Some(path), _) => read_csv(library, &path, &known, outcome),
        (None, Some(node)) => {
            let read = |node: &Node| orders::inline(node, &known);
            listed(library, &node, tables::ORDERS, outcome, read).unwrap_or_default()
        }
        (None, None) => Vec::new(),
    };
    if let Some(node) = weekly_node {
        weekly::add(&node, &known, &mut orders);
    }
    let known = opening::Known {
        vessels: &cellar.vessels,
        beers: &beers,
        formats: &cellar.formats,
        calendar: &calendar,
    };
    let in_store = yeast::in_store(fields, &strains, &calendar);
    let in_tank = fields.optional("in_tank").and_then(|node| {
        listed(library, &node, tables::IN_TANK, outcome, |node| opening::in_tank(node, &known))
    });
    let (in_tank, generations) = in_tank.unwrap_or_default();
    let dirty = opening::dirty(fields, &known, &in_tank);
    let since_full = full_clean::since_full(fields, &known, &in_tank, &dirty);
    let stock = fields
        .optional("stock")
        .and_then(|node| listed(library, &node, tables::STOCK, outcome, |node| opening::stock(node, &known)));
    let stock = stock.unwrap_or_default();
    let plant = fixed::Plant {
        lines: &cellar.lines,
        filters: &cellar.filters,
        has_keg_washer: cellar.keg_washer.is_some(),
    };
    let fixed = fixed::fixed(fields, &known, &plant, &in_tank);
    let known =
        packages::Known { beers: &beers, formats: &cellar.formats, calendar: &calendar, stock: &stock };
    let kegs = packages::kegs(fields, &known);
    let materials = packages::materials(fields, &known);
    let crews = crews.into_crews();
    let known =
        prices::Known { vessels: &cellar.vessels, lines: &cellar.lines, crews: &crews, beers: &beers };
    let prices = prices::prices(fields, &known);
    let known = layout::Known { cellar: &cellar, beers: &beers, crews: &crews, calendar: &calendar };
    let layout = layout::read(fields, &known);
    Some(Case {
        name: name?,
        cellar: cellar.name,
        altitude_metres: cellar.altitude_metres,
        show_units: show_units?,
        clock_times: clock_times?,
        calendar,
        aim: aim?,
        brewhouse: cellar.brewhouse?,
        vessels: cellar.vessels,
        pressure: cellar.pressure?,
        cleaning_sets: cellar.cleaning_sets,
        cleaning: cellar.cleaning,
        sanitise: cellar.sanitise,
        transfer: cellar.transfer?,
        filters: cellar.filters,
        carbonate: cellar.carbonate,
        lines: cellar.lines,
        formats: cellar.formats,
        kegs,
        keg_washer: cellar.keg_washer,
        materials,
        crews,
        beers,
        orders,
        warm_store: cellar.warm_store,
        cold_store: cellar.cold_store,
        keep,
        stock,
        in_tank,
        dirty,
        since_full,
        fixed,
        taproom,
        rates,
        prices,
        cooling: cellar.cooling,
        yeast: Yeasts { strains, in_store, in_tank: generations },
        layout,
    })
}

fn is_workbook(library: &dyn Library, name: &str) -> bool {
    library.bytes(name).1.is_ok_and(|bytes| tables::is_workbook(&bytes))
}

/// A list read where it stands: in the brew plan, or in a table that it names; none where the table cannot be read.
fn listed<T>(
    library: &dyn Library,
    node: &Node,
    known: &[tables::Known],
    outcome: &mut ReadOutcome,
    read: impl FnOnce(&Node) -> T,
) -> Option<T> {
    if !tables::is_named(node) {
        return Some(read(node));
    }
    tables::read(library, node, known, outcome).map(|table| table.read(outcome, node.units(), read))
}

fn read_csv(
    library: &dyn Library,
    path: &str,
    known: &orders::Known,
    outcome: &mut ReadOutcome,
) -> Vec<crate::case::Order> {
    let (file, text) = library.text(path);
    match text {
        Ok(text) => {
            outcome.sources.insert(file.clone(), text.clone());
            order_rows::from_csv(&file, &text, known, &mut outcome.findings)
        }
        Err(finding) => {
            outcome.findings.push(finding);
            Vec::new()
        }
    }
}
