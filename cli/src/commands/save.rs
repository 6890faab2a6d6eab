//! Writing files: whole or not at all.

use std::io::Write;
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::complain;
use crate::exit::Exit;
use crate::render::words;

/// The directory that a file is to be in.
fn directory(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Asked before the search, so that no search is lost.
///
/// # Errors
/// `Exit::BadInput` where there is no directory for it, or it is one.
pub fn can_be_written(file: &Path) -> Result<(), Exit> {
    let (directory, name) = (directory(file), file.display().to_string());
    if !directory.is_dir() {
        complain(&words::no_directory(&name, &directory.display().to_string()));
        return Err(Exit::BadInput);
    }
    if file.is_dir() {
        complain(&words::unwritable(&name, "it is a directory"));
        return Err(Exit::BadInput);
    }
    Ok(())
}

/// Writes a file whole or not at all: beside it first, then in its place.
///
/// # Errors
/// `Exit::BadInput` where it cannot be written.
pub fn save(file: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Exit> {
    let put = |beside: NamedTempFile| beside.persist(file).map(drop).map_err(|error| error.error);
    beside(file, bytes.as_ref()).and_then(put).map_err(|error| refused(file, &error))
}

/// Writes a file whole or not at all, and never over one that is there.
///
/// # Errors
/// `Exit::BadInput` where it cannot be written, or is there already.
pub fn save_new(file: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Exit> {
    let put = |beside: NamedTempFile| beside.persist_noclobber(file).map(drop).map_err(|error| error.error);
    beside(file, bytes.as_ref()).and_then(put).map_err(|error| refused(file, &error))
}

fn refused(file: &Path, error: &std::io::Error) -> Exit {
    complain(&words::unwritable(&file.display().to_string(), &error.to_string()));
    Exit::BadInput
}

/// A file beside another one, with all its bytes.
fn beside(file: &Path, bytes: &[u8]) -> std::io::Result<NamedTempFile> {
    let mut beside = NamedTempFile::new_in(directory(file))?;
    beside.write_all(bytes)?;
    beside.as_file().sync_all()?;
    share(beside.as_file())?;
    Ok(beside)
}

/// Lets others read the file: a temporary file is made for its owner alone.
#[cfg(unix)]
fn share(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn share(_file: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("plan.yaml");
        save(&file, "first\n").unwrap();
        save(&file, "second\n").unwrap();
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "second\n");
        assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_missing_directory_is_bad_input() {
        let place = tempfile::tempdir().unwrap();
        assert_eq!(can_be_written(&place.path().join("none/plan.yaml")), Err(Exit::BadInput));
        assert_eq!(can_be_written(place.path()), Err(Exit::BadInput));
        assert_eq!(can_be_written(&place.path().join("plan.yaml")), Ok(()));
        assert_eq!(can_be_written(Path::new("plan.yaml")), Ok(()));
    }
}
