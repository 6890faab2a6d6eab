//! The words and keys of the plan file, shared by writer and reader.

use crate::plan::{Leaving, Used, Work};

/// Words after `do:`, each with the keys that belong to it.
pub(super) const WORK: [(&str, &[&str]); 11] = [
    ("brew", &["beer", "vessel", "turns", "part_turn"]),
    ("clean", &["vessel", "full"]),
    ("sanitise", &["vessel"]),
    ("transfer", &["from", "to", "volume", "full"]),
    ("carbonate", &["vessel"]),
    ("package", &["line", "format", "vessel", "volume"]),
    ("pitch", &["vessel", "yeast", "pitches", "source", "store", "from", "cropped"]),
    ("crop", &["vessel"]),
    ("tank work", &["beer", "work", "vessel"]),
    ("wash", &["pool", "kegs"]),
    ("dump", &["vessel"]),
];

/// Words after `source:`, where pitches come from.
pub(super) const SOURCES: [&str; 3] = ["bought", "store", "crop"];

/// Words after `leaves:`.
pub(super) const LEAVING: [&str; 4] = ["bright", "direct", "dump", "stays"];

/// Words after `what:`, each with the keys that belong to it.
pub(super) const USED: [(&str, &[&str]); 7] = [
    ("brew day", &[]),
    ("line shift", &["line"]),
    ("run", &["line", "beer"]),
    ("clean", &["like"]),
    ("second transfer", &["beer"]),
    ("yeast bought", &["yeast"]),
    ("overtime minute", &["crew"]),
];

/// The word for a lot that is not emptied within the horizon.
pub(super) const NEVER: &str = "never";

/// The word of a piece of work.
pub(super) fn work(work: Work) -> &'static str {
    match work {
        Work::Brew { .. } => "brew",
        Work::Clean { .. } => "clean",
        Work::Sanitise { .. } => "sanitise",
        Work::Transfer { .. } => "transfer",
        Work::Carbonate { .. } => "carbonate",
        Work::Package { .. } => "package",
        Work::Pitch { .. } => "pitch",
        Work::Crop { .. } => "crop",
        Work::Tank { .. } => "tank work",
        Work::Wash { .. } => "wash",
        Work::Dump { .. } => "dump",
    }
}

/// The word of a way to leave.
pub(super) fn leaving(leaving: Leaving) -> &'static str {
    match leaving {
        Leaving::Bright(_) => "bright",
        Leaving::Direct(_) => "direct",
        Leaving::Dump(_) => "dump",
        Leaving::Stays => "stays",
    }
}

/// The word of what is counted.
pub(super) fn used(used: Used) -> &'static str {
    match used {
        Used::BrewDay => "brew day",
        Used::LineShift(_) => "line shift",
        Used::Run(..) => "run",
        Used::Clean(_) => "clean",
        Used::SecondTransfer(_) => "second transfer",
        Used::BoughtYeast(_) => "yeast bought",
        Used::OvertimeMinutes(_) => "overtime minute",
    }
}
