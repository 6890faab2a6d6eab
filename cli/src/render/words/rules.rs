//! Why each rule is there, and where it comes from. What it says is in the catalogue of rules.

use cellarwright_model::rule::RuleId;

/// What is said of a rule beside its sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Told {
    /// Why it is there.
    pub why: &'static str,
    /// Where it, or its numbers, come from.
    pub source: &'static str,
}

/// Said where nothing but the trade's habit stands behind a rule.
const PRACTICE: &str = "common practice; its numbers are the brewery's own";

/// Why a rule is there, and where it comes from.
#[must_use]
pub fn told(rule: RuleId) -> Told {
    let (why, source) = match rule {
        RuleId::OneBatch => (
            "Beer of two ages in one vessel is neither: it cannot be tracked, and the younger keeps the older from leaving.",
            PRACTICE,
        ),
        RuleId::FillLevel => (
            "Too full, and foam goes where it must not; too empty, and cooling jackets and head space no longer suit the beer.",
            PRACTICE,
        ),
        RuleId::Turns => (
            "Mash and copper take their time; the first turn waits for heating up, and liquor may not be hot again in time.",
            PRACTICE,
        ),
        RuleId::Ready => (
            "Beer that leaves early is not finished: it tastes green, or goes on working in its package.",
            PRACTICE,
        ),
        RuleId::Wait => (
            "Ready beer on yeast, or in a bright tank, loses freshness day by day, and it holds a vessel.",
            PRACTICE,
        ),
        RuleId::BrightRest => (
            "Carbon dioxide dissolves in hours, not at once; a tank that is packaged from today is free again for a fill tomorrow. With one shift this \
             makes a bright tank work on alternate days, which no rule says by itself.",
            PRACTICE,
        ),
        RuleId::Direct => (
            "A fermenter that bears the pressure can stand in for a bright tank; what it saves in moving it costs in days on which it cannot ferment.",
            PRACTICE,
        ),
        RuleId::Clean => (
            "Dirt dries on and what grows in it gets into the next batch; a clean vessel does not stay clean for ever.",
            "ASBC's guide for craft brewers (excerpt read): cleaned within 24 h after emptying and within 24 h before use, sanitised within \
             4 h of contact; otherwise common practice",
        ),
        RuleId::Crew => (
            "Two hands do one thing at a time: hours and heads are what most weeks run out of first.",
            PRACTICE,
        ),
        RuleId::Line => (
            "A line never makes its plate speed over a day: starting, stopping and changing over take time that small runs do not earn back.",
            PRACTICE,
        ),
        RuleId::Pressure => (
            "Beer keeps its gas only under the pressure that belongs to its temperature; a vessel gives no more than its data plate and relief \
             device allow. These are planning figures: data plate, relief device, local codes and licensed practice decide.",
            "A. J. deLange's fit to the ASBC table (coefficients from memory), within 0.03 volumes of Table I of D. Miller, BrewingTechniques 2(1), \
             1994; air pressure by the international standard atmosphere; a metre of beer as a metre of water, 9.79 kPa (common practice)",
        ),
        RuleId::Volume => (
            "Wort is not beer in packages: yeast, hops, hoses, fillers and overfill take their part, and the duty record has to add up.",
            "losses are the brewery's own; US barrels and gallons by 27 CFR 25.11 and 25.156",
        ),
        RuleId::Orders => (
            "Nobody delivers beer that is still on the line; what is promised twice is delivered once.",
            PRACTICE,
        ),
        RuleId::Start => (
            "A plan that begins in another cellar than yours is worth nothing.",
            "the brew plan's own opening state",
        ),
        RuleId::Outage => {
            ("What is taken apart cannot be used, and a vessel is opened only when it is empty.", PRACTICE)
        }
        RuleId::Pinned => (
            "Some things are settled before any plan: a tax visit, a festival, a brew day with guests.",
            PRACTICE,
        ),
        RuleId::TankWork => (
            "Hops, fining and cooling do their work in days; done late they move all that follows, and only so much can be chilled at once.",
            "common practice; heat of fermentation 651 kJ per kg of extract (ASHRAE, as quoted on byo.com), cooling of beer 4.19 kJ per kg and degree \
             (from memory)",
        ),
        RuleId::Yeast => (
            "Yeast ages in store and drifts from generation to generation; a batch without a pitch in time is not brewed.",
            "common practice; ages and generations are the brewery's own",
        ),
        RuleId::Serving => (
            "Guests ask for a beer every day: a tank has to be ready, rested, before the last one runs dry.",
            PRACTICE,
        ),
        RuleId::Calendar => ("Nobody brews on a holiday.", "the brew plan's own calendar"),
        RuleId::Use => (
            "A vessel without a jacket does not ferment, one without a stone or a rating does not carbonate.",
            PRACTICE,
        ),
        RuleId::Stages => (
            "An opened fermenter should not stand half empty for long: air gets in, and the rest ages.",
            PRACTICE,
        ),
        RuleId::Filter => (
            "Beer goes where hoses reach, and a filter is one for all: what is not through by the evening waits.",
            PRACTICE,
        ),
        RuleId::Packages => {
            ("A line without clean kegs or cans stands still, however full the tanks are.", PRACTICE)
        }
        RuleId::WarmStore => {
            ("Beer that conditions in its package needs warmth and room for its days.", PRACTICE)
        }
        RuleId::FullClean => (
            "A short clean leaves stone and traces behind: after some fills, or after an allergen or a dark malt, it is not enough.",
            "common practice; which traces matter is for the brewery and its food law to say",
        ),
        RuleId::Hours => (
            "Hours that add up over a shift may still not fit: one person, one pump and one cleaning set do one thing at a time.",
            PRACTICE,
        ),
    };
    Told { why, source }
}

/// Above the list of rules.
pub const ALL: &str = "The rules that every plan keeps. `cellarwright rule R06` says why one is there; with a brew plan, its numbers there.";
/// Where a case has no numbers for a rule.
pub const NOTHING_HERE: &str = "Nothing in this case: the rule does not come into play.";
/// Where no brew plan is named.
pub const NO_CASE: &str = "Name a brew plan to see its numbers there.";

/// A word that is no rule.
#[must_use]
pub fn no_rule(found: &str) -> String {
    format!("there is no rule {found}; the rules are R01 to R27, and `cellarwright rule` lists them")
}
