//! `new`: a small brew plan and cellar to begin with, and the schemas for an editor.

use cellarwright_model::schema;
use jiff::civil::{Date, Weekday};
use jiff::tz::Offset;
use jiff::{Span, Timestamp};

use super::save::save_new;
use super::{complain, finish};
use crate::args::{NewArguments, Size, UnitSystem};
use crate::exit::Exit;
use crate::render::words;

/// The name of the brew plan that is written.
const BREWPLAN: &str = "brewplan.yaml";

/// Runs the command.
pub fn run(arguments: &NewArguments) -> Exit {
    match write(arguments) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn write(arguments: &NewArguments) -> Result<Exit, Exit> {
    let starts = arguments.starts.unwrap_or_else(next_monday);
    let files = files(arguments.size, arguments.units, starts)?;
    let folder = &arguments.folder;
    for (name, _) in &files {
        let file = folder.join(name);
        if file.exists() {
            complain(&words::begin::is_there(&file.display().to_string()));
            return Err(Exit::BadInput);
        }
    }
    let schemas = folder.join("schema");
    std::fs::create_dir_all(&schemas).map_err(|error| {
        complain(&words::unwritable(&schemas.display().to_string(), &error.to_string()));
        Exit::BadInput
    })?;
    for (name, text) in &files {
        save_new(&folder.join(name), text)?;
    }
    let brewplan = folder.join(BREWPLAN).display().to_string();
    Ok(finish(Ok(words::begin::begun(&brewplan)), Exit::Good))
}

/// Names, within the folder, and texts of all that is written.
fn files(size: Size, units: UnitSystem, starts: Date) -> Result<Vec<(String, String)>, Exit> {
    let (brewplan, cellar) = match size {
        Size::Brewpub => (include_str!("new/brewpub.brewplan.yaml"), include_str!("new/brewpub.cellar.yaml")),
        Size::Production => {
            (include_str!("new/production.brewplan.yaml"), include_str!("new/production.cellar.yaml"))
        }
    };
    let mut files = Vec::new();
    for (name, text) in [(BREWPLAN, brewplan), ("cellar.yaml", cellar)] {
        let Some(text) = filled_in(text, units, starts) else {
            complain(&words::internal(name));
            return Err(Exit::Internal);
        };
        files.push((name.to_owned(), text));
    }
    for file in schema::File::ALL {
        files.push((format!("schema/{}", file.schema_name()), schema::text(file)));
    }
    Ok(files)
}

/// The first Monday after today (by Greenwich time).
fn next_monday() -> Date {
    let today = Offset::UTC.to_datetime(Timestamp::now()).date();
    today.nth_weekday(1, Weekday::Monday).unwrap_or(today)
}

/// A text with its blanks filled in: `<10 hL|7 bbl>` by the units, `<day 4>` by the date so many days after the first one. None
/// where a blank is neither.
fn filled_in(text: &str, units: UnitSystem, starts: Date) -> Option<String> {
    let mut filled = String::new();
    let mut rest = text;
    while let Some((before, from_blank)) = rest.split_once('<') {
        let (blank, after) = from_blank.split_once('>')?;
        filled.push_str(before);
        match (blank.strip_prefix("day "), blank.split_once('|')) {
            (Some(days), _) => {
                let date = starts.checked_add(Span::new().try_days(days.parse::<i64>().ok()?).ok()?).ok()?;
                filled.push_str(&date.to_string());
            }
            (None, Some((metric, us))) => filled.push_str(match units {
                UnitSystem::Metric => metric,
                UnitSystem::Us => us,
            }),
            (None, None) => return None,
        }
        rest = after;
    }
    filled.push_str(rest);
    Some(filled)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use cellarwright_model::finding::Finding;
    use cellarwright_model::yaml::read_case;

    use super::*;

    fn arguments(folder: &Path, size: Size, units: UnitSystem) -> NewArguments {
        NewArguments { folder: folder.to_owned(), size, units, starts: Some(jiff::civil::date(2027, 2, 1)) }
    }

    #[test]
    fn every_pair_can_be_read_without_a_word_of_complaint() {
        for size in [Size::Brewpub, Size::Production] {
            for units in [UnitSystem::Metric, UnitSystem::Us] {
                let place = tempfile::tempdir().unwrap();
                let folder = place.path().join("mine");
                assert_eq!(run(&arguments(&folder, size, units)), Exit::Good);
                let outcome = read_case(&folder.join(BREWPLAN));
                assert_eq!(outcome.findings, Vec::<Finding>::new(), "{size:?} {units:?}");
                assert!(outcome.case.is_some());
            }
        }
    }

    #[test]
    fn nothing_is_overwritten_and_nothing_is_written_beside_what_is_there() {
        let place = tempfile::tempdir().unwrap();
        std::fs::write(place.path().join("cellar.yaml"), "mine\n").unwrap();
        let arguments = arguments(place.path(), Size::Brewpub, UnitSystem::Metric);
        assert_eq!(run(&arguments), Exit::BadInput);
        assert_eq!(std::fs::read_to_string(place.path().join("cellar.yaml")).unwrap(), "mine\n");
        assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_blank_that_is_neither_units_nor_day_is_none() {
        let starts = jiff::civil::date(2027, 2, 1);
        assert_eq!(
            filled_in("a <1 hL|2 bbl> <day -1>", UnitSystem::Us, starts).as_deref(),
            Some("a 2 bbl 2027-01-31")
        );
        assert_eq!(filled_in("a <b>", UnitSystem::Us, starts), None);
        assert_eq!(filled_in("a <b", UnitSystem::Us, starts), None);
        assert!(next_monday().weekday() == Weekday::Monday);
    }
}
