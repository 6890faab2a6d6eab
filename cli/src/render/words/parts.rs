//! Names of the objective's parts.

/// Earned by deliveries.
pub const DELIVERED: &str = "orders delivered";
/// Charge for missed firm orders.
pub const MISSED: &str = "firm orders missed (charge)";
/// Poured in the taproom.
pub const POURED: &str = "poured in the taproom";
/// Asked for in the taproom and not poured.
pub const DRY_TAPS: &str = "taps that run dry (charge)";
/// Poured in the planned days.
pub const POURED_VOLUME: &str = "poured in the planned days";
/// Poured in the look-ahead.
pub const POURED_AHEAD: &str = "a hundredth of what is poured in the look-ahead";
/// Packaged beer left at the end.
pub const SURPLUS: &str = "packaged beer left at the end";
/// Beer in vessels at the end.
pub const IN_TANK: &str = "beer in vessels at the end";
/// Person-hours.
pub const LABOUR: &str = "labour";
/// Overtime.
pub const OVERTIME: &str = "overtime";
/// Cleaning.
pub const CLEANING: &str = "cleaning and sanitising";
/// Transfers.
pub const TRANSFERS: &str = "bright tanks filled";
/// Carbon dioxide.
pub const GAS: &str = "carbon dioxide";
/// Waiting.
pub const WAITING: &str = "beer waiting too long";
/// Dirty vessels.
pub const DIRTY: &str = "vessels dirty too long";
/// Short runs.
pub const SHORT_RUNS: &str = "runs below the smallest";
/// Cans, labels and the like beyond what is there.
pub const MATERIALS: &str = "materials bought";
/// Visits of mobile lines.
pub const VISITS: &str = "visits of mobile lines";
/// Yeast.
pub const YEAST: &str = "yeast bought or kept longer";
/// Orders delivered late.
pub const LATE: &str = "orders delivered late";
/// Overflow of the cold store.
pub const STORE: &str = "cold store hired";
/// Stock below what is to be kept.
pub const LOW_STOCK: &str = "stock below what is to be kept";
/// Changes against the plan that is being carried out.
pub const CHANGES: &str = "changes to the earlier plan";
/// Last resort.
pub const LAST_RESORT: &str = "beer over its hard end or poured away";
/// Packaged in the planned days.
pub const PACKAGED: &str = "packaged in the planned days";
/// Packaged in the look-ahead.
pub const PACKAGED_AHEAD: &str = "a hundredth of what is packaged in the look-ahead";
/// Costs as volume.
pub const RUNNING_COSTS: &str = "costs, a millilitre for each unit of money";
/// Last resort as volume.
pub const LAST_RESORT_VOLUME: &str = "beer over its hard end or poured away, a litre for each unit";
