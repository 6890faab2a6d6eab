//! Files that a plan is made of, looked at again and again until one of them is another.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use cellarwright_model::yaml::read_case;

use crate::signal::Stop;

/// Between two looks.
const PAUSE: Duration = Duration::from_millis(300);

/// The files of a brew plan as they were.
#[derive(Debug)]
pub struct Files {
    were: BTreeMap<PathBuf, Option<Vec<u8>>>,
    last_look: Mutex<(Instant, bool)>,
}

impl Files {
    /// The brew plan and every file that it names, whether they can be read or not.
    #[must_use]
    pub fn of(brewplan: &Path) -> Self {
        let outcome = read_case(brewplan);
        let named = outcome.findings.into_iter().map(|finding| finding.place.file);
        let mut paths: BTreeSet<PathBuf> =
            outcome.sources.into_keys().chain(named).map(PathBuf::from).collect();
        paths.insert(brewplan.to_owned());
        let were = paths.into_iter().map(|path| (path.clone(), std::fs::read(path).ok())).collect();
        Self { were, last_look: Mutex::new((Instant::now(), false)) }
    }

    /// The first file that is another than it was, or is gone.
    #[must_use]
    pub fn changed(&self) -> Option<&Path> {
        let is_other = |(path, were): &(&PathBuf, &Option<Vec<u8>>)| std::fs::read(path).ok() != **were;
        self.were.iter().find(is_other).map(|(path, _)| path.as_path())
    }

    /// Whether any is; looks at most a few times a second.
    #[must_use]
    pub fn have_changed(&self) -> bool {
        let Ok(mut last) = self.last_look.lock() else { return false };
        if last.0.elapsed() >= PAUSE {
            *last = (Instant::now(), self.changed().is_some());
        }
        last.1
    }

    /// Waits until a file has changed and nobody writes it any more; none if Ctrl-C was pressed before.
    #[must_use]
    pub fn wait(&self, stop: &Stop) -> Option<PathBuf> {
        while !stop.is_asked() {
            if let Some(path) = self.changed() {
                let mut now = std::fs::read(path).ok();
                loop {
                    std::thread::sleep(PAUSE);
                    let later = std::fs::read(path).ok();
                    if stop.is_asked() || later == now {
                        break;
                    }
                    now = later;
                }
                return Some(path.to_owned());
            }
            std::thread::sleep(PAUSE);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_written_made_or_gone_has_changed() {
        let place = tempfile::tempdir().unwrap();
        let brewplan = place.path().join("brewplan.yaml");
        std::fs::write(&brewplan, "brewplan: A\ncellar: cellar.yaml\n").unwrap();
        // The cellar is not there yet, and is looked for all the same.
        let files = Files::of(&brewplan);
        assert_eq!(files.changed(), None);
        std::fs::write(place.path().join("cellar.yaml"), "cellar: B\n").unwrap();
        assert_eq!(files.changed(), Some(place.path().join("cellar.yaml").as_path()));
        let files = Files::of(&brewplan);
        std::fs::write(&brewplan, "brewplan: C\ncellar: cellar.yaml\n").unwrap();
        assert_eq!(files.wait(&Stop::default()), Some(brewplan.clone()));
        let files = Files::of(&brewplan);
        std::fs::remove_file(&brewplan).unwrap();
        assert_eq!(files.changed(), Some(brewplan.as_path()));
    }
}
