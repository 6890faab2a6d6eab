//! Cautions that hold for any plan of the kind (common practice).

/// Beer is held over its limit or poured away.
pub const LAST_RESORT: &str = "The plan holds beer over its hard end or pours beer away because nothing else was \
    possible or worth less: look at these vessels yourself before you follow it.";
/// A plan without clock times, where the brew plan asks for them.
pub const NO_TIMES: &str = "The plan has no clock times: only the totals of each shift were looked at, not whether its \
    work can be put in order.";
/// Work under pressure.
pub const PRESSURE: &str = "Pressures are planning figures. The vessel's data plate, its relief device and your local codes \
    come first; work on pressure vessels belongs to people licensed for it.";
/// Cleaning.
pub const CLEANING: &str = "Before cleaning: relieve the pressure and vent the carbon dioxide before caustic goes in: caustic \
    takes the gas up, and a cold rinse after a hot clean pulls a vacuum too; either can pull the vessel in. The vessel maker's \
    instructions, local codes and licensed practice come first. Wear what the caustic's data sheet asks for.";
/// Carbon dioxide and confined spaces.
pub const GAS: &str = "Carbon dioxide gathers in vessels and low rooms: measure and ventilate. Nobody enters a vessel but \
    under your confined-space procedure.";
