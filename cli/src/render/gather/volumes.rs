//! Book-keeping: accounts of batches in hectolitres and barrels.

use std::collections::BTreeMap;

use cellarwright_checker::account::{Account, Fate};
use cellarwright_model::ids::BeerId;
use cellarwright_model::measures::UnitSystem;
use cellarwright_model::units::{Volume, barrels};

use super::{Facts, date, day_label};
use crate::render::view::{BatchVolumes, BeerVolumes, FateRow, GoodsVolumes, Volumes};
use crate::render::words::volumes as words;

/// All accounts.
#[must_use]
pub fn volumes(facts: &Facts) -> Volumes {
    let accounts = &facts.report.accounts;
    let mut beers: BTreeMap<BeerId, Vec<&Account>> = BTreeMap::new();
    for account in &accounts.batches {
        beers.entry(account.beer).or_default().push(account);
    }
    let of_beer = |(beer, all): (BeerId, Vec<&Account>)| BeerVolumes {
        beer: facts.case.beer(beer).name.clone(),
        fates: fates(facts, &all),
    };
    let packaged = accounts.packaged.iter().map(|goods| {
        let format = facts.case.format(goods.format);
        GoodsVolumes {
            beer: facts.case.beer(goods.beer).name.clone(),
            format: format.name.clone(),
            packages: goods.packages,
            rest_litres: goods.rest.0 as f64 / 1_000.0,
            packaged_hl: goods.volume.hectolitres(),
            packaged_bbl: beside(facts, goods.volume),
            package_bbl: barrels(format.contents),
        }
    });
    Volumes {
        batches: accounts.batches.iter().map(|account| batch(facts, account)).collect(),
        packaged: packaged.collect(),
        beers: beers.into_iter().map(of_beer).collect(),
    }
}

fn batch(facts: &Facts, account: &Account) -> BatchVolumes {
    let day = account.from.map(|slot| facts.case.calendar.day(slot) as i64);
    let (vessel, beer) = (&facts.case.vessel(account.vessel).name, &facts.case.beer(account.beer).name);
    BatchVolumes {
        vessel: vessel.clone(),
        beer: beer.clone(),
        brewed: day.map(|day| date(facts.case, day)),
        label: words::batch(vessel, beer, day.map(|day| day_label(facts.case, day)).as_deref()),
        filled: if account.is_bright { words::BRIGHT } else { words::WORT },
        fates: fates(facts, &[account]),
    }
}

/// Barrels beside hectolitres.
fn beside(facts: &Facts, volume: Volume) -> Option<String> {
    (facts.case.show_units == UnitSystem::Metric).then(|| barrels(volume))
}

fn fates(facts: &Facts, accounts: &[&Account]) -> FateRow {
    let sum = |fate: Fate| accounts.iter().map(|account| account.of(fate)).sum::<Volume>();
    let hl = |fate: Fate| sum(fate).hectolitres();
    let filled: Volume = accounts.iter().map(|account| account.filled).sum();
    FateRow {
        filled_hl: filled.hectolitres(),
        tank_loss_hl: hl(Fate::TankLoss),
        transfer_loss_hl: hl(Fate::TransferLoss),
        direct_loss_hl: hl(Fate::DirectLoss),
        line_loss_hl: hl(Fate::LineLoss),
        format_loss_hl: hl(Fate::FormatLoss),
        overfill_hl: hl(Fate::Overfill),
        packaged_hl: hl(Fate::Packaged),
        poured_hl: hl(Fate::Poured),
        poured_away_hl: hl(Fate::PouredAway),
        rest_hl: hl(Fate::Rest),
        left_hl: hl(Fate::Left),
        filled_bbl: beside(facts, filled),
        packaged_bbl: beside(facts, sum(Fate::Packaged)),
        poured_bbl: beside(facts, sum(Fate::Poured)),
    }
}
