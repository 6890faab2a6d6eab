//! Where the beer of the planned days went: an account of every batch, in millilitres, that adds up exactly.
//!
//! Filled = tank loss + transfer loss + direct loss + line loss + format loss + overfill + packaged + poured away + rest + left.
//! What happens to beer of several batches in one tank is divided by what each brought, whole millilitres, none lost.

use std::collections::BTreeMap;

use cellarwright_model::calendar::Slot;
use cellarwright_model::ids::{BeerId, FormatId, LineId, VesselId};
use cellarwright_model::units::{Volume, mul_div};

use crate::ledger::{Kind, Ledger, Piece, Run, Way};

/// What became of a part of a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// Lost in the fermenter (yeast, hops).
    TankLoss,
    /// Lost in transfers.
    TransferLoss,
    /// Lost on the direct route.
    DirectLoss,
    /// Lost by the line in each run.
    LineLoss,
    /// Lost by formats (low fills, rejects).
    FormatLoss,
    /// Given away in packages beyond their contents.
    Overfill,
    /// In packages, by their contents.
    Packaged,
    /// Poured in the taproom.
    Poured,
    /// Poured away.
    PouredAway,
    /// Left behind in a vessel that counts as empty; rounding may take it a little below nothing.
    Rest,
    /// Still in vessels when the planned days end.
    Left,
}

impl Fate {
    /// All fates, in the order of the way that beer takes.
    pub const ALL: [Self; 11] = [
        Self::TankLoss,
        Self::TransferLoss,
        Self::DirectLoss,
        Self::LineLoss,
        Self::FormatLoss,
        Self::Overfill,
        Self::Packaged,
        Self::Poured,
        Self::PouredAway,
        Self::Rest,
        Self::Left,
    ];
}

/// The account of a batch, or of beer that was in a bright tank on day 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The vessel that it was brewed into, or was in.
    pub vessel: VesselId,
    /// The beer.
    pub beer: BeerId,
    /// Slot of its first turn; none for what was there on day 0.
    pub from: Option<Slot>,
    /// It was in a bright tank on day 0; otherwise `filled` is wort.
    pub is_bright: bool,
    /// Wort filled in before any loss, or beer in the bright tank.
    pub filled: Volume,
    /// What became of it.
    pub fates: BTreeMap<Fate, Volume>,
}

impl Account {
    /// What became of it in one way.
    #[must_use]
    pub fn of(&self, fate: Fate) -> Volume {
        self.fates.get(&fate).copied().unwrap_or_default()
    }

    /// All that is accounted for: what was filled in, where a plan keeps every rule.
    #[must_use]
    pub fn accounted(&self) -> Volume {
        self.fates.values().copied().sum()
    }
}

/// What was packaged of a beer in a format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PackagedGoods {
    /// The beer.
    pub beer: BeerId,
    /// The format.
    pub format: FormatId,
    /// How much, by the contents of the packages.
    pub volume: Volume,
    /// Whole packages.
    pub packages: i64,
    /// What does not fill a package.
    pub rest: Volume,
}

/// The accounts of the planned days.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Accounts {
    /// By batch, in the order in which they began.
    pub batches: Vec<Account>,
    /// By beer and format.
    pub packaged: Vec<PackagedGoods>,
}

/// Makes the accounts.
#[must_use]
pub fn accounts(ledger: &Ledger) -> Accounts {
    let mut books = Books { batches: Vec::new(), shares: vec![Vec::new(); ledger.holdings.len()] };
    let is_origin = |place: &usize| {
        let holding = &ledger.holdings[*place];
        holding.from.is_none() || (holding.kind == Kind::Batch && !holding.moved)
    };
    let places = 0..ledger.holdings.len();
    let origins: Vec<usize> = places.clone().filter(is_origin).collect();
    for &place in &origins {
        books.open(ledger, place);
    }
    for place in origins.into_iter().chain(places.filter(|place| !is_origin(place))) {
        books.vessel(ledger, place);
    }
    let mut packaged: BTreeMap<(BeerId, FormatId), Volume> = BTreeMap::new();
    for (&(slot, line), line_slot) in &ledger.line_slots {
        for run in &line_slot.runs {
            books.run(ledger, slot, line, run);
            for (&format, &(_, volume)) in &run.formats {
                *packaged.entry((run.beer, format)).or_default() += volume;
            }
        }
    }
    let goods = packaged.into_iter().map(|((beer, format), volume)| {
        let contents = ledger.case.format(format).contents.0.max(1);
        let packages = volume.0 / contents;
        PackagedGoods { beer, format, volume, packages, rest: Volume(volume.0 % contents) }
    });
    Accounts { batches: books.batches, packaged: goods.collect() }
}

/// Accounts in the making.
struct Books {
    batches: Vec<Account>,
    /// What each holding has of which account, in millilitres.
    shares: Vec<Vec<(usize, i64)>>,
}

impl Books {
    fn open(&mut self, ledger: &Ledger, place: usize) {
        let holding = &ledger.holdings[place];
        self.shares[place] = vec![(self.batches.len(), 1)];
        self.batches.push(Account {
            vessel: holding.vessel,
            beer: holding.beer,
            from: holding.from,
            is_bright: holding.kind == Kind::Lot,
            filled: holding.filled,
            fates: BTreeMap::new(),
        });
        self.book(place, Fate::TankLoss, holding.filled - holding.volume);
    }

    /// Divides an amount of a holding over its accounts.
    fn divided(&self, place: usize, amount: Volume) -> Vec<(usize, Volume)> {
        let whole: i64 = self.shares[place].iter().map(|&(_, share)| share).sum();
        let (mut so_far, mut given) = (0, 0);
        let mut parts = Vec::new();
        for &(account, share) in &self.shares[place] {
            so_far += share;
            let upto = mul_div(amount.0, so_far, whole.max(1));
            parts.push((account, Volume(upto - given)));
            given = upto;
        }
        parts
    }

    fn book(&mut self, place: usize, fate: Fate, amount: Volume) {
        if amount != Volume::ZERO {
            for (account, part) in self.divided(place, amount) {
                *self.batches[account].fates.entry(fate).or_default() += part;
            }
        }
    }

    /// What left a vessel other than to lines, and what stayed in it.
    fn vessel(&mut self, ledger: &Ledger, place: usize) {
        let holding = &ledger.holdings[place];
        self.book(place, Fate::DirectLoss, holding.direct_loss);
        let mut gone = holding.direct_loss;
        for out in &holding.outs {
            gone += out.volume;
            match out.way {
                Way::Transfer { to, arrived }
                | Way::Condition { to, arrived }
                | Way::Serve { to, arrived } => {
                    self.book(place, Fate::TransferLoss, out.volume - arrived);
                    match receiving(ledger, to, out.slot) {
                        Some(next) => {
                            for (account, part) in self.divided(place, arrived) {
                                self.shares[next].push((account, part.0));
                            }
                        }
                        None => self.book(place, Fate::Rest, arrived),
                    }
                }
                Way::Pour => self.book(place, Fate::Poured, out.volume),
                Way::Dump => self.book(place, Fate::PouredAway, out.volume),
                Way::Line(_) => {}
            }
        }
        let left = if holding.emptied.is_some() { Volume::ZERO } else { holding.left };
        self.book(place, Fate::Left, left);
        self.book(place, Fate::Rest, holding.volume - gone - left);
    }

    /// Each task of a run has its share of the run's losses.
    fn run(&mut self, ledger: &Ledger, slot: Slot, line: LineId, run: &Run) {
        let mut line_loss = ledger.case.line(line).loss;
        // By format: lost by the line, and in packages with what is given away.
        let mut formats: BTreeMap<FormatId, (Volume, Volume)> = BTreeMap::new();
        for (&format, &(drawn, _)) in &run.formats {
            let part = line_loss.min(drawn);
            line_loss -= part;
            formats.insert(format, (part, ledger.case.format(format).loss.taken_off(drawn - part)));
        }
        let packaged: BTreeMap<usize, Volume> = run.packaged_by_piece().into_iter().collect();
        let mut so_far: BTreeMap<FormatId, Volume> = BTreeMap::new();
        for piece in &run.pieces {
            let Some(place) = source(ledger, slot, line, piece) else { continue };
            let (drawn, of_format) = run.formats.get(&piece.format).copied().unwrap_or_default();
            let (part, filled) = formats.get(&piece.format).copied().unwrap_or_default();
            let before = so_far.entry(piece.format).or_default();
            let upto = *before + piece.volume;
            let share = |whole: Volume| {
                let at = |volume: Volume| mul_div(whole.0, volume.0, drawn.0.max(1));
                Volume(at(upto) - at(*before))
            };
            let in_packages = packaged.get(&piece.position).copied().unwrap_or_default();
            let (overfill, by_line) = (share(filled - of_format), share(part));
            *before = upto;
            self.book(place, Fate::Packaged, in_packages);
            self.book(place, Fate::Overfill, overfill);
            self.book(place, Fate::LineLoss, by_line);
            self.book(place, Fate::FormatLoss, piece.volume - in_packages - overfill - by_line);
        }
    }
}

/// The lot that a transfer into a vessel in a slot went into.
pub(crate) fn receiving(ledger: &Ledger, vessel: VesselId, slot: Slot) -> Option<usize> {
    let there = |place: &usize| {
        let holding = &ledger.holdings[*place];
        let is_filled = holding.from.is_some_and(|from| from <= slot);
        holding.vessel == vessel
            && (holding.kind == Kind::Lot || holding.moved)
            && is_filled
            && holding.emptied.is_none_or(|emptied| emptied >= slot)
    };
    (0..ledger.holdings.len()).filter(there).max_by_key(|&place| (ledger.holdings[place].from, place))
}

/// The beer that a task of a line draws from.
fn source(ledger: &Ledger, slot: Slot, line: LineId, piece: &Piece) -> Option<usize> {
    ledger.holdings.iter().position(|holding| {
        let draws = |out: &crate::ledger::Out| out.slot == slot && out.way == Way::Line(line);
        holding.vessel == piece.vessel && holding.outs.iter().any(draws)
    })
}
