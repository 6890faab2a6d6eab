//! The plan as one JSON document.

use cellarwright_model::finding::{Finding, Severity};
use serde::Serialize;

use super::json_units::InUnits;
use super::numbers::UnitSystem;
use super::view::{
    BeerCode, BreachRow, Caution, ChangesView, FormatRow, KegRow, ModelSize, OrderRow, OutlookRow, PartRow,
    PourRow, SlackRow, TapRow, ToOrderRow, Units, View, Volumes, WorkRow,
};
use super::words;

#[derive(Debug, Serialize)]
struct Document<'a> {
    status: &'a str,
    objective: f64,
    bound: Option<f64>,
    gap: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    seconds: Option<f64>,
    packaged_hl: f64,
    units: Units,
    title: &'a str,
    cellar: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    changes: Option<&'a ChangesView>,
    packaged: &'a [FormatRow],
    work: &'a [WorkRow],
    vessels: Vec<Vessel<'a>>,
    beers: &'a [BeerCode],
    orders: &'a [OrderRow],
    #[serde(skip_serializing_if = "Option::is_none")]
    to_order: Option<&'a [ToOrderRow]>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    kegs: &'a [KegRow],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pours: &'a [PourRow],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    taps: &'a [TapRow],
    slack: &'a [SlackRow],
    breakdown: &'a [PartRow],
    outlook: &'a [OutlookRow],
    violations: &'a [BreachRow],
    volumes: &'a Volumes,
    #[serde(skip_serializing_if = "Option::is_none")]
    model: Option<&'a ModelSize>,
    cautions: &'a [Caution],
}

/// A vessel across the days.
#[derive(Debug, Serialize)]
pub struct Vessel<'a> {
    vessel: &'a str,
    days: Vec<Cell<'a>>,
    stays: &'a [super::view::StayRow],
}

/// A day of a vessel, in signs.
#[derive(Debug, Serialize)]
pub struct Cell<'a> {
    date: &'a str,
    signs: &'a str,
}

#[derive(Debug, Serialize)]
struct Mended<'a> {
    status: &'static str,
    findings: Vec<FindingRow<'a>>,
}

#[derive(Debug, Serialize)]
struct FindingRow<'a> {
    code: &'static str,
    severity: &'static str,
    file: &'a str,
    line: Option<usize>,
    column: Option<usize>,
    path: String,
    message: String,
    allowed: &'a str,
    hint: Option<&'a str>,
}

/// Every vessel across the days of a view.
#[must_use]
pub fn vessels(view: &View) -> Vec<Vessel<'_>> {
    let vessels = view.vessels.iter().map(|row| Vessel {
        vessel: &row.vessel,
        days: view.days.iter().zip(&row.cells).map(|(day, signs)| Cell { date: &day.date, signs }).collect(),
        stays: &row.stays,
    });
    vessels.collect()
}

/// The document of `plan` and `check`.
///
/// # Errors
/// If a number cannot be written as JSON; a view holds none of that kind.
pub fn document(view: &View) -> Result<String, serde_json::Error> {
    let checked = if view.violations.is_empty() { "passed" } else { "violations" };
    let verdict = view.verdict.as_ref();
    pretty_in(
        view.units.system,
        &Document {
            status: verdict.map_or(checked, |verdict| verdict.status),
            objective: view.objective,
            bound: verdict.and_then(|verdict| verdict.bound),
            gap: verdict.and_then(|verdict| verdict.gap),
            seconds: verdict.map(|verdict| verdict.seconds),
            packaged_hl: view.packaged_hl,
            units: view.units,
            title: &view.title,
            cellar: &view.cellar,
            changes: view.changes.as_ref(),
            packaged: &view.packaged,
            work: &view.work,
            vessels: vessels(view),
            beers: &view.codes,
            orders: &view.orders,
            to_order: view.to_order.as_deref(),
            kegs: &view.kegs,
            pours: &view.pours,
            taps: &view.taps,
            slack: &view.slack,
            breakdown: &view.breakdown,
            outlook: &view.outlook,
            violations: &view.violations,
            volumes: &view.volumes,
            model: view.model.as_ref(),
            cautions: &view.cautions,
        },
    )
}

/// The document where the input has to be mended first.
///
/// # Errors
/// None in practice; see `document`.
pub fn no_plan(findings: &[Finding]) -> Result<String, serde_json::Error> {
    let rows = findings.iter().map(|finding| FindingRow {
        code: finding.code,
        severity: match finding.severity {
            Severity::Error => "error",
            Severity::Caution => "caution",
        },
        file: &finding.place.file,
        line: finding.place.line,
        column: finding.place.column,
        path: words::findings::path(&finding.place.path),
        message: words::findings::sentence(finding),
        allowed: &finding.allowed,
        hint: finding.hint.as_deref(),
    });
    pretty(&Mended { status: "no_plan", findings: rows.collect() })
}

/// The document where time was up before there was a plan that keeps what is pinned.
///
/// # Errors
/// None in practice.
pub fn nothing_in_time() -> Result<String, serde_json::Error> {
    pretty(&Mended { status: "no_plan", findings: Vec::new() })
}

/// A document of volumes in hectolitres, litres and pressures in kilopascals as text in the units asked for.
///
/// # Errors
/// If it holds what JSON cannot.
pub fn pretty_in(units: UnitSystem, document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::new();
    let mut into = serde_json::Serializer::with_formatter(&mut bytes, InUnits::new(units));
    document.serialize(&mut into)?;
    bytes.push(b'\n');
    String::from_utf8(bytes).map_err(serde::ser::Error::custom)
}

/// The same with the units of what names none in its key.
///
/// # Errors
/// If it holds what JSON cannot.
pub fn pretty_with(units: Units, document: &impl Serialize) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct WithUnits<'a, T> {
        units: Units,
        #[serde(flatten)]
        document: &'a T,
    }
    pretty_in(units.system, &WithUnits { units, document })
}

/// A document as text.
///
/// # Errors
/// If it holds what JSON cannot.
pub fn pretty(document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(text)
}
