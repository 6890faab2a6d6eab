//! Signs of the vessel chart.

/// Filled, with the beer's letters after it.
pub const FILL: char = '+';
/// Ready.
pub const READY: char = '=';
/// Its yeast is cropped.
pub const CROP: char = '%';
/// A piece of tank work.
pub const TANK_WORK: char = '!';
/// Carbonated by a task of its own.
pub const CARBONATE: char = '*';
/// Transferred out.
pub const TRANSFER: char = '>';
/// Packaged from.
pub const PACKAGE: char = '#';
/// Poured from in the taproom.
pub const POUR: char = ':';
/// Cleaned.
pub const CLEAN: char = '~';
/// Sanitised.
pub const SANITISE: char = '\'';
/// Poured away.
pub const DUMP: char = 'x';
/// Away: out of use, worked on or to be left alone.
pub const AWAY: char = '/';
/// Empty and dirty all day.
pub const DIRTY: char = '-';
/// Empty all day.
pub const EMPTY: char = '.';

/// What each sign means, in the order of a batch's way.
pub const LEGEND: [(char, &str); 14] = [
    (FILL, "filled"),
    (CROP, "yeast cropped"),
    (TANK_WORK, "tank work"),
    (READY, "ready"),
    (CARBONATE, "carbonated in it"),
    (TRANSFER, "transferred out"),
    (PACKAGE, "packaged from"),
    (POUR, "on tap"),
    (CLEAN, "cleaned"),
    (SANITISE, "sanitised"),
    (DUMP, "poured away"),
    (AWAY, "away"),
    (DIRTY, "empty, dirty"),
    (EMPTY, "empty"),
];

#[cfg(test)]
mod tests {
    use super::LEGEND;

    #[test]
    fn every_sign_means_one_thing_as_on_tap_and_away_once_did_not() {
        for (position, (sign, meaning)) in LEGEND.iter().enumerate() {
            let same: Vec<&str> = LEGEND[position + 1..]
                .iter()
                .filter(|(other, _)| other == sign)
                .map(|&(_, other)| other)
                .collect();
            assert!(same.is_empty(), "{sign} is {meaning} and {same:?}");
        }
    }
}
