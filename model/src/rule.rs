//! The catalogue of rules: one id, one sentence, one file in the compiler and one in the checker.

/// A rule of the cellar. Numbers are never used again for another rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RuleId {
    /// R01
    OneBatch,
    /// R02
    FillLevel,
    /// R03
    Turns,
    /// R04
    Ready,
    /// R05
    Wait,
    /// R06
    BrightRest,
    /// R07
    Direct,
    /// R08
    Clean,
    /// R09
    Crew,
    /// R10
    Line,
    /// R11
    Pressure,
    /// R12
    Volume,
    /// R13
    Orders,
    /// R14
    Start,
    /// R15
    Outage,
    /// R16
    Pinned,
    /// R17
    TankWork,
    /// R18
    Yeast,
    /// R19
    Serving,
    /// R20
    Calendar,
    /// R21
    Use,
    /// R22
    Stages,
    /// R23
    Hours,
    /// R24
    Filter,
    /// R25
    Packages,
    /// R26
    WarmStore,
    /// R27
    FullClean,
}

impl RuleId {
    /// All rules in the order of their numbers.
    pub const ALL: [Self; 27] = [
        Self::OneBatch,
        Self::FillLevel,
        Self::Turns,
        Self::Ready,
        Self::Wait,
        Self::BrightRest,
        Self::Direct,
        Self::Clean,
        Self::Crew,
        Self::Line,
        Self::Pressure,
        Self::Volume,
        Self::Orders,
        Self::Start,
        Self::Outage,
        Self::Pinned,
        Self::TankWork,
        Self::Yeast,
        Self::Serving,
        Self::Calendar,
        Self::Use,
        Self::Stages,
        Self::Hours,
        Self::Filter,
        Self::Packages,
        Self::WarmStore,
        Self::FullClean,
    ];

    /// The rule's number, such as `R06`.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::OneBatch => "R01",
            Self::FillLevel => "R02",
            Self::Turns => "R03",
            Self::Ready => "R04",
            Self::Wait => "R05",
            Self::BrightRest => "R06",
            Self::Direct => "R07",
            Self::Clean => "R08",
            Self::Crew => "R09",
            Self::Line => "R10",
            Self::Pressure => "R11",
            Self::Volume => "R12",
            Self::Orders => "R13",
            Self::Start => "R14",
            Self::Outage => "R15",
            Self::Pinned => "R16",
            Self::TankWork => "R17",
            Self::Serving => "R19",
            Self::Yeast => "R18",
            Self::Calendar => "R20",
            Self::Use => "R21",
            Self::Stages => "R22",
            Self::Hours => "R23",
            Self::Filter => "R24",
            Self::Packages => "R25",
            Self::WarmStore => "R26",
            Self::FullClean => "R27",
        }
    }

    /// The rule in one sentence.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Self::OneBatch => {
                "A vessel holds one batch from fill to empty; nothing is added later, except turns of the same batch within `fill_within`, and in a bright tank a second batch of a beer with `blend` in the shift of the first."
            }
            Self::FillLevel => "Every fill ends between `least` and `holds`.",
            Self::Turns => {
                "The brewhouse makes at most `turns_per_day` turns within its clock hours; the first turn of a day takes longer."
            }
            Self::Ready => "No beer leaves its fermenter before its stay is over.",
            Self::Wait => {
                "Ready beer waits free up to `may_wait`, then at a cost, never past `must_leave`; likewise in a bright tank up to `bright_wait` and `bright_must_leave`."
            }
            Self::BrightRest => {
                "A bright tank is cleaned, filled and set to carbonate in one shift, packaged in a later one once the carbonating time is over, and filled again in the shift after its last packaging (or in the same shift where `refill` says so and the hours fit)."
            }
            Self::Direct => {
                "A fermenter with `package` may be carbonated and packaged from within two working cellar shifts; it stays occupied through its last packaging."
            }
            Self::Clean => {
                "A vessel is cleaned between two fills, on a cleaning set; it stays clean for `stays_clean`, after that it is sanitised before a fill; dirty longer than a working day costs."
            }
            Self::Crew => {
                "Each shift has its person-hours by role and its heads: lines whose people add up to more than are there run one after another."
            }
            Self::Line => {
                "A line runs at nominal speed x efficiency, with start-up, clean-down, changes, a loss for each beer and shift, and a smallest run; some beers and formats never follow others."
            }
            Self::Pressure => {
                "The planned pressure stays a margin below relief and rating, and a line fed by pressure needs a vessel that can give it."
            }
            Self::Volume => "What leaves is what came in less the losses of that step; a split adds up.",
            Self::Orders => {
                "Beer packaged today can be delivered from the next delivery day plus its release time; stock is never negative."
            }
            Self::Start => "What is in tank on day 0 stays what it is: where, what, how much, since when.",
            Self::Outage => {
                "A vessel, a line or the brewhouse that is away is not used; a vessel is empty for its upkeep."
            }
            Self::Pinned => {
                "Work that is pinned is done as it is pinned; a vessel to be left alone is left alone."
            }
            Self::Yeast => {
                "Every batch is pitched with the yeast of its beer, bought or cropped from an earlier batch in time, kept no longer than it keeps, within its generations."
            }
            Self::TankWork => {
                "Work on a batch in its tank is done in order, on its day or within its limits early or late, by its crew; what follows is late by as much, and contact times are kept."
            }
            Self::Serving => {
                "A serving tank is filled, rests, and is poured by what guests ask for; of each beer one tank is on tap until it is empty or too old."
            }
            Self::Calendar => "Work happens only on its working days and shifts.",
            Self::Use => "A vessel serves only the uses it lists.",
            Self::Stages => {
                "A batch may leave its vessel in stages, at most four, finished within three working days of the first."
            }
            Self::Filter => {
                "Beer goes only where hoses and pipes reach, a filter takes one beer after another at its rate, and only so many transfers run at once."
            }
            Self::Packages => {
                "Filling takes clean kegs and packaging uses up cans and labels; there are never fewer than none, and what is ordered arrives after its lead time."
            }
            Self::WarmStore => {
                "Beer that conditions in its package stands in the warm store from its packaging until it can be delivered; no more stands there than it holds."
            }
            Self::FullClean => {
                "A vessel that says so gets a full clean, not a short one, after so many fills, and after a beer with a mark before one without it."
            }
            Self::Hours => {
                "Where the plan goes by the clock, every piece of work has its beginning in its shift: people, vessels, cleaning sets and the brewhouse do one thing at a time."
            }
        }
    }
}
