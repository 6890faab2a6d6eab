//! R16, where a plan is being carried out: what is done stays as it was done, and no more is changed than may be.

use cellarwright_model::case::PINNED_TOLERANCE;
use cellarwright_model::violation::{About, Amount};

use super::{Changes, Kind, Piece, pieces};
use crate::ledger::Ledger;
use crate::rules::Breaches;

/// Work before the first day that is planned again that is not as it was done, and too many changes.
pub fn check(ledger: &Ledger, changes: Option<&Changes>, breaches: &mut Breaches) {
    let Some(earlier) = ledger.case.fixed.earlier.as_deref() else { return };
    if earlier.is_done_kept {
        let is_done = |piece: &Piece| earlier.is_done(ledger.case, piece.slot);
        let mut here: Vec<Piece> = pieces(ledger).into_iter().filter(is_done).collect();
        let before = Ledger::replay(ledger.case, &earlier.plan);
        for piece in pieces(&before).into_iter().filter(is_done) {
            match here.iter().position(|other| is_same(&piece, other)) {
                Some(place) => drop(here.remove(place)),
                None => note(&piece, "not in the plan", "as it was done", breaches),
            }
        }
        for piece in here {
            note(&piece, "in the plan", "not done", breaches);
        }
    }
    if let (Some(most), Some(changes)) = (earlier.at_most, changes)
        && changes.fewest > most
    {
        let number = |count: usize| Amount::Number(i64::try_from(count).unwrap_or(i64::MAX));
        breaches.add(About::EarlierPlan, None, "changes", number(changes.fewest), number(most));
    }
}

fn is_same(one: &Piece, other: &Piece) -> bool {
    (one.kind, one.slot, one.from, one.vessel) == (other.kind, other.slot, other.from, other.vessel)
        && (one.volume - other.volume).0.abs() <= PINNED_TOLERANCE.0
}

fn note(piece: &Piece, found: &'static str, allowed: &'static str, breaches: &mut Breaches) {
    let about = match (piece.kind, piece.vessel) {
        (_, Some(vessel)) => About::Vessel(vessel),
        (Kind::Brew(beer) | Kind::Transfer(beer) | Kind::Package(beer, _) | Kind::Tank(beer, _), None) => {
            About::Beer(beer)
        }
        (Kind::Clean(vessel) | Kind::Carbonate(vessel) | Kind::Crop(vessel) | Kind::Dump(vessel), None) => {
            About::Vessel(vessel)
        }
    };
    let what = match piece.kind {
        Kind::Brew(_) => "brewed before",
        Kind::Transfer(_) => "transferred before",
        Kind::Package(..) => "packaged before",
        Kind::Clean(_) => "cleaned before",
        Kind::Carbonate(_) => "carbonated before",
        Kind::Tank(..) => "tank work before",
        Kind::Crop(_) => "cropped before",
        Kind::Dump(_) => "poured away before",
    };
    breaches.add(about, piece.slot, what, Amount::Words(found), Amount::Words(allowed));
}
