//! Reading the look-ahead of a plan. Periods are named by their first day.

use crate::finding::PathStep;
use crate::plan::{
    Leaving, Moved, Outlook, OutlookBatch, OutlookLot, OutlookPackaging, OutlookPour, OutlookUse, Period,
    Source, Used,
};

use super::fields::{FieldReader, Fields};
use super::read::{TURNS, VOLUME, only};
use super::tree::{Kind, Node};
use super::{quantities, words};

const COUNT: &str = "a count with at most six decimals";

/// The outlook of a mapping; what is wrong with it is noted.
pub(super) fn read_outlook(reader: &mut FieldReader<'_>, node: &Node, path: &[PathStep]) -> Outlook {
    let mut outlook = Outlook::default();
    let keys = ["periods", "batches", "lots", "packaging", "pours", "uses"];
    let Some(fields) = reader.fields(node, path, &keys) else { return outlook };
    for (node, path) in reader.items(&fields, "periods") {
        let period = read_period(reader, node, &path, &outlook.periods);
        outlook.periods.extend(period);
    }
    let periods = &outlook.periods;
    for (node, path) in reader.items(&fields, "batches") {
        outlook.batches.extend(read_batch(reader, node, &path, periods));
    }
    for (node, path) in reader.items(&fields, "lots") {
        outlook.lots.extend(read_lot(reader, node, &path, periods));
    }
    for (node, path) in reader.items(&fields, "packaging") {
        outlook.packaging.extend(read_packaging(reader, node, &path, periods));
    }
    for (node, path) in reader.items(&fields, "pours") {
        outlook.pours.extend(read_pour(reader, node, &path, periods));
    }
    for (node, path) in reader.items(&fields, "uses") {
        outlook.uses.extend(read_use(reader, node, &path, periods));
    }
    outlook
}

fn read_period(
    reader: &mut FieldReader<'_>,
    node: &Node,
    path: &[PathStep],
    before: &[Period],
) -> Option<Period> {
    let fields = reader.fields(node, path, &["from", "to"])?;
    let (first_day, last_day) = (reader.day(&fields, "from"), reader.day(&fields, "to"));
    let (first_day, last_day) = (first_day?, last_day?);
    let after = before.last().map_or(0, |period| period.last_day + 1);
    if last_day < first_day || first_day < after {
        let found = format!("{} to {}", reader.date_of(first_day), reader.date_of(last_day));
        reader.note(
            "V632",
            node.at,
            path,
            &found,
            "periods one after another, each from its first to its last day",
        );
    }
    Some(Period { first_day, last_day })
}

/// The position of the period that begins on the date of a key.
fn period(reader: &mut FieldReader<'_>, fields: &Fields<'_>, key: &str, periods: &[Period]) -> Option<usize> {
    let day = reader.day(fields, key)?;
    let position = periods.iter().position(|period| period.first_day == day);
    if position.is_none()
        && let Some((text, at)) = reader.text(fields, key)
    {
        reader.note("V633", at, &fields.path(key), text, "the first day of one of the periods");
    }
    position
}

/// The keys `in_tank`, or `like` and `filled`.
fn source(reader: &mut FieldReader<'_>, fields: &Fields<'_>, periods: &[Period]) -> Option<Source> {
    if fields.node("in_tank").is_some() {
        only(reader, fields, &["like", "filled"], &[], "in_tank");
        return reader.vessel(fields, "in_tank").map(Source::InTank);
    }
    let (like, period) = (reader.vessel(fields, "like"), period(reader, fields, "filled", periods));
    Some(Source::New { like: like?, period: period? })
}

fn read_batch(
    reader: &mut FieldReader<'_>,
    node: &Node,
    path: &[PathStep],
    periods: &[Period],
) -> Option<OutlookBatch> {
    let keys = [
        "in_tank",
        "like",
        "filled",
        "beer",
        "turns",
        "part_turn",
        "count",
        "moved",
        "moved_to",
        "leaves",
        "period",
    ];
    let fields = reader.fields(node, path, &keys)?;
    let (source, beer) = (source(reader, &fields, periods), reader.beer(&fields));
    let turns = reader.value(&fields, "turns", "V652", TURNS, quantities::turns);
    let part = reader.part_turn(&fields);
    let count = reader.value(&fields, "count", "V653", COUNT, quantities::count);
    let word = reader.choice(&fields, "leaves", "V640", words::LEAVING.into_iter())?;
    let leaving = match words::LEAVING[word] {
        "bright" => Leaving::Bright(period(reader, &fields, "period", periods)?),
        "direct" => Leaving::Direct(period(reader, &fields, "period", periods)?),
        "dump" => Leaving::Dump(period(reader, &fields, "period", periods)?),
        stays => {
            only(reader, &fields, &["period"], &[], stays);
            Leaving::Stays
        }
    };
    let moved = match fields.node("moved").is_some() || fields.node("moved_to").is_some() {
        true => {
            let (like, at) = (reader.vessel(&fields, "moved_to"), period(reader, &fields, "moved", periods));
            Some(Moved { like: like?, period: at? })
        }
        false => None,
    };
    let (turns, part) = (turns?, part?);
    Some(OutlookBatch { source: source?, beer: beer?, turns, part, count: count?, moved, leaving })
}

fn read_lot(
    reader: &mut FieldReader<'_>,
    node: &Node,
    path: &[PathStep],
    periods: &[Period],
) -> Option<OutlookLot> {
    let keys = ["in_tank", "like", "filled", "beer", "volume", "count", "emptied"];
    let fields = reader.fields(node, path, &keys)?;
    let (source, beer) = (source(reader, &fields, periods), reader.beer(&fields));
    let volume = reader.value(&fields, "volume", "V650", VOLUME, quantities::volume);
    let count = reader.value(&fields, "count", "V653", COUNT, quantities::count);
    let never = fields.node("emptied").is_some_and(|node| is_never(&node.kind));
    let emptied = if never { None } else { Some(period(reader, &fields, "emptied", periods)?) };
    Some(OutlookLot { source: source?, beer: beer?, volume: volume?, count: count?, emptied })
}

fn is_never(kind: &Kind) -> bool {
    matches!(kind, Kind::Text(text) if text == words::NEVER)
}

fn read_packaging(
    reader: &mut FieldReader<'_>,
    node: &Node,
    path: &[PathStep],
    periods: &[Period],
) -> Option<OutlookPackaging> {
    let fields = reader.fields(node, path, &["period", "beer", "format", "drawn", "packaged"])?;
    let period = period(reader, &fields, "period", periods);
    let (beer, format) = (reader.beer(&fields), reader.format(&fields));
    let drawn = reader.value(&fields, "drawn", "V650", VOLUME, quantities::volume);
    let packaged = reader.value(&fields, "packaged", "V650", VOLUME, quantities::volume);
    Some(OutlookPackaging {
        period: period?,
        beer: beer?,
        format: format?,
        drawn: drawn?,
        packaged: packaged?,
    })
}

fn read_pour(
    reader: &mut FieldReader<'_>,
    node: &Node,
    path: &[PathStep],
    periods: &[Period],
) -> Option<OutlookPour> {
    let fields = reader.fields(node, path, &["period", "beer", "volume"])?;
    let (period, beer) = (period(reader, &fields, "period", periods), reader.beer(&fields));
    let volume = reader.value(&fields, "volume", "V650", VOLUME, quantities::volume);
    Some(OutlookPour { period: period?, beer: beer?, volume: volume? })
}

fn read_use(
    reader: &mut FieldReader<'_>,
    node: &Node,
    path: &[PathStep],
    periods: &[Period],
) -> Option<OutlookUse> {
    let every = ["line", "beer", "like", "crew", "yeast"];
    let fields =
        reader.fields(node, path, &["period", "what", "line", "beer", "like", "crew", "yeast", "count"])?;
    let period = period(reader, &fields, "period", periods);
    let count = reader.value(&fields, "count", "V653", COUNT, quantities::count);
    let position = reader.choice(&fields, "what", "V640", words::USED.iter().map(|used| used.0))?;
    let (word, keys) = words::USED[position];
    only(reader, &fields, &every, keys, word);
    let what = match word {
        "brew day" => Used::BrewDay,
        "line shift" => Used::LineShift(reader.line(&fields)?),
        "run" => {
            let (line, beer) = (reader.line(&fields), reader.beer(&fields));
            Used::Run(line?, beer?)
        }
        "second transfer" => Used::SecondTransfer(reader.beer(&fields)?),
        "clean" => Used::Clean(reader.vessel(&fields, "like")?),
        "yeast bought" => Used::BoughtYeast(reader.yeast(&fields)?),
        _ => Used::OvertimeMinutes(reader.crew(&fields)?),
    };
    Some(OutlookUse { period: period?, what, count: count? })
}
