//! Rows of book-keeping: where the beer of the planned days went.

use serde::Serialize;

/// What became of a volume, in hectolitres; together what was filled.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct FateRow {
    /// Wort filled in, or beer that was in a bright tank.
    pub filled_hl: f64,
    /// Lost in the fermenter.
    pub tank_loss_hl: f64,
    /// Lost in transfers.
    pub transfer_loss_hl: f64,
    /// Lost on the direct route.
    pub direct_loss_hl: f64,
    /// Lost by lines.
    pub line_loss_hl: f64,
    /// Lost by formats.
    pub format_loss_hl: f64,
    /// Given away in packages beyond their contents.
    pub overfill_hl: f64,
    /// In packages, by their contents.
    pub packaged_hl: f64,
    /// Poured in the taproom.
    pub poured_hl: f64,
    /// Poured away.
    pub poured_away_hl: f64,
    /// Left behind in vessels that count as empty.
    pub rest_hl: f64,
    /// Still in vessels when the planned days end.
    pub left_hl: f64,
    /// Filled, in US barrels to five decimals; none where all volumes are in barrels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub filled_bbl: Option<String>,
    /// Packaged, in US barrels to five decimals; none where all volumes are in barrels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packaged_bbl: Option<String>,
    /// Poured in the taproom, in US barrels to five decimals; none where all volumes are in barrels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub poured_bbl: Option<String>,
}

/// The account of a batch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BatchVolumes {
    /// The vessel that it was brewed into, or was in.
    pub vessel: String,
    /// The beer.
    pub beer: String,
    /// Date of its first turn; none for what was there before.
    pub brewed: Option<String>,
    /// As the screen shows it.
    #[serde(skip)]
    pub label: String,
    /// `wort`, or `bright beer` that was there before.
    pub filled: &'static str,
    /// What became of it.
    #[serde(flatten)]
    pub fates: FateRow,
}

/// The accounts of a beer together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BeerVolumes {
    /// The beer.
    pub beer: String,
    /// What became of it.
    #[serde(flatten)]
    pub fates: FateRow,
}

/// What was packaged of a beer in a format.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GoodsVolumes {
    /// The beer.
    pub beer: String,
    /// The format.
    pub format: String,
    /// Whole packages.
    pub packages: i64,
    /// What does not fill a package, in litres.
    pub rest_litres: f64,
    /// All of it.
    pub packaged_hl: f64,
    /// All of it in US barrels, to five decimals; none where all volumes are in barrels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packaged_bbl: Option<String>,
    /// One package in US barrels, to five decimals.
    pub package_bbl: String,
}

/// The book-keeping of the planned days.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Volumes {
    /// By batch, in the order in which they began.
    pub batches: Vec<BatchVolumes>,
    /// By beer.
    pub beers: Vec<BeerVolumes>,
    /// By beer and format.
    pub packaged: Vec<GoodsVolumes>,
}
