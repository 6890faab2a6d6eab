//! Writing a plan as a workbook, or as a folder of CSV files.

use std::path::Path;

use super::save::save;
use super::{complain, failed};
use crate::exit::Exit;
use crate::render::view::View;
use crate::render::{sheets, words};

/// Writes the workbook.
///
/// # Errors
/// `Exit::BadInput` where it cannot be written.
pub fn write_workbook(file: &Path, view: &View) -> Result<(), Exit> {
    let title = format!("{}, {}", view.title, view.cellar);
    let bytes = sheets::workbook(&title, &sheets::sheets(view)).map_err(|error| failed(&error))?;
    save(file, bytes)
}

/// Writes a CSV file for each sheet; the folder is made if it is not there.
///
/// # Errors
/// `Exit::BadInput` where one cannot be written.
pub fn write_csv(folder: &Path, view: &View) -> Result<(), Exit> {
    std::fs::create_dir_all(folder).map_err(|error| {
        complain(&words::unwritable(&folder.display().to_string(), &error.to_string()));
        Exit::BadInput
    })?;
    for sheet in sheets::sheets(view) {
        let text = sheets::csv(&sheet).map_err(|error| failed(&error))?;
        save(&folder.join(format!("{}.csv", sheet.name)), text)?;
    }
    Ok(())
}

/// Asked before the search, so that no search is lost.
///
/// # Errors
/// `Exit::BadInput` where the path is a file, or there is no folder for it.
pub fn can_be_folder(folder: &Path) -> Result<(), Exit> {
    if folder.is_dir() {
        return Ok(());
    }
    let shown = folder.display().to_string();
    if folder.exists() {
        complain(&words::unwritable(&shown, "it is a file, not a folder"));
        return Err(Exit::BadInput);
    }
    super::save::can_be_written(folder)
}
