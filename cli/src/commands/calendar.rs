//! The crews' calendars in a directory: which file is whose, and what is left alone.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use cellarwright_model::case::Case;
use jiff::civil::Date;

use super::complain;
use super::save::save;
use crate::exit::Exit;
use crate::render::calendar::{Crew, Former, entries, read, update};
use crate::render::view::View;
use crate::render::words::{self, calendar as own};

/// Characters of a crew's name in the name of its file.
const MOST_LETTERS: usize = 60;

/// A crew's calendar: where it is, and what an earlier plan has left there.
#[derive(Debug)]
struct Place {
    file: PathBuf,
    whose: Crew,
    former: Former,
}

/// What is in a directory under a name that a calendar may have.
#[derive(Debug)]
struct Found {
    file: PathBuf,
    /// None where it is not one of ours, or cannot be read.
    ours: Option<(Crew, Former)>,
}

/// Asked before the search, so that no search is lost.
///
/// # Errors
/// `Exit::BadInput` where the directory can neither be used nor made, or what is in it is in the way.
pub fn can_be_written(directory: &Path, case: &Case) -> Result<(), Exit> {
    let crews: Vec<&str> = case.crews.iter().map(|crew| crew.name.as_str()).collect();
    places(directory, &case.cellar, &crews).map(drop)
}

/// Writes a calendar for each crew that has an entry, and brings those up to date that crews have left which are no longer in the brew plan.
///
/// # Errors
/// `Exit::BadInput` where one cannot be written.
pub fn write(directory: &Path, view: &View) -> Result<(), Exit> {
    let crews: Vec<&str> = view.crews.iter().map(|row| row.crew.as_str()).collect();
    let Some(first_day) = view.days.first().and_then(|day| day.date.parse::<Date>().ok()) else {
        return Ok(());
    };
    let places = places(directory, &view.cellar, &crews)?;
    if !directory.is_dir() {
        std::fs::create_dir(directory).map_err(|error| {
            complain(&words::unwritable(&directory.display().to_string(), &error.to_string()));
            Exit::BadInput
        })?;
    }
    for place in places {
        let entries = if crews.contains(&place.whose.crew.as_str()) {
            entries(view, &place.whose.crew)
        } else {
            Vec::new()
        };
        if let Some(text) = update(&place.whose, &place.former, first_day, &entries) {
            save(&place.file, text)?;
        }
    }
    Ok(())
}

/// The file of each crew: the one that is its own already, or the first name that is free. Then those of crews that are gone.
fn places(directory: &Path, cellar: &str, crews: &[&str]) -> Result<Vec<Place>, Exit> {
    let found = found(directory)?;
    let mut places: Vec<Place> = Vec::new();
    for crew in crews {
        let whose = Crew { crew: (*crew).to_owned(), cellar: cellar.to_owned() };
        let own_file = found.iter().find_map(|found| match &found.ours {
            Some((of, former)) if *of == whose => Some((found.file.clone(), former.clone())),
            _ => None,
        });
        let (file, former) = match own_file {
            Some(own_file) => own_file,
            None => (free_name(directory, &whose, &found, &places)?, Former::default()),
        };
        places.push(Place { file, whose, former });
    }
    for Found { file, ours } in found {
        match ours {
            Some((whose, former)) if whose.cellar == cellar && !crews.contains(&whose.crew.as_str()) => {
                places.push(Place { file, whose, former });
            }
            _ => {}
        }
    }
    Ok(places)
}

/// The first of a crew's names that no other crew has. What is there under it and is not ours is in the way.
fn free_name(directory: &Path, whose: &Crew, found: &[Found], places: &[Place]) -> Result<PathBuf, Exit> {
    let taken: BTreeSet<&Path> = places.iter().map(|place| place.file.as_path()).collect();
    for number in 1.. {
        let file = directory.join(file_name(&whose.crew, number));
        if taken.contains(file.as_path()) {
            continue;
        }
        let Some(there) = found.iter().find(|found| found.file == file) else { return Ok(file) };
        let name = file.display().to_string();
        match &there.ours {
            // Another crew of this brewery, now or before.
            Some((of, _)) if of.cellar == whose.cellar => {}
            Some((of, _)) => {
                complain(&own::of_another(&name, &whose.crew, &of.cellar));
                return Err(Exit::BadInput);
            }
            None => {
                complain(&own::not_ours(&name, &whose.crew));
                return Err(Exit::BadInput);
            }
        }
    }
    Err(Exit::Internal)
}

/// `crew-cellar-hands.ics`: small letters and digits, the rest hyphens; a number where crews would have the same name.
fn file_name(crew: &str, number: usize) -> String {
    let mut name = String::from("crew");
    let mut is_apart = true;
    for letter in crew.chars().take(MOST_LETTERS).flat_map(char::to_lowercase) {
        if letter.is_alphanumeric() {
            if is_apart {
                name.push('-');
            }
            name.push(letter);
        }
        is_apart = !letter.is_alphanumeric();
    }
    let number = if number > 1 { format!("-{number}") } else { String::new() };
    format!("{name}{number}.ics")
}

/// Everything in the directory that may be a crew's calendar, by name.
fn found(directory: &Path) -> Result<Vec<Found>, Exit> {
    if !directory.is_dir() {
        let above = directory.parent().filter(|above| !above.as_os_str().is_empty());
        if !directory.exists() && above.is_none_or(Path::is_dir) {
            return Ok(Vec::new());
        }
        complain(&own::no_place(&directory.display().to_string()));
        return Err(Exit::BadInput);
    }
    let unreadable = |error: std::io::Error| {
        complain(&words::unreadable(&directory.display().to_string(), &error.to_string()));
        Exit::BadInput
    };
    let mut files: Vec<PathBuf> = Vec::new();
    for entry in std::fs::read_dir(directory).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with("crew") && name.ends_with(".ics") {
            files.push(directory.join(entry.file_name()));
        }
    }
    files.sort();
    let read_file = |file: &PathBuf| std::fs::read_to_string(file).ok().and_then(|text| read(&text));
    Ok(files.into_iter().map(|file| Found { ours: read_file(&file), file }).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_hold_letters_digits_and_hyphens_alone() {
        assert_eq!(file_name("cellar hands", 1), "crew-cellar-hands.ics");
        assert_eq!(file_name("../../etc/passwd", 1), "crew-etc-passwd.ics");
        assert_eq!(file_name("C:\\Früh & spät", 2), "crew-c-früh-spät-2.ics");
        assert_eq!(file_name("\u{1f37a}", 1), "crew.ics");
        assert!(file_name(&"w".repeat(500), 1).len() < 80);
    }
}
