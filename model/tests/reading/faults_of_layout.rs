//! Faults of a layout.

use cellarwright_model::case::Change;
use cellarwright_model::units::{Area, Money, Volume};

use crate::faults::{Fault, error};
use crate::read;
use crate::sample::{BREWPLAN, CELLAR, ORDERS};

/// What stands in the sample.
const MONEY: &str = "money: {labour: 32.50, missed_firm: 4, surplus: 50 %}";

/// The sample's money with the rates that a layout needs, and a layout with these entries.
macro_rules! layout {
    ($entries:literal) => {
        concat!(
            "money: {labour: 32.50, clean: 15, transfer: 8, gas: 1.5, surplus: 50 %}\n",
            "layout: {wort: 28, ",
            $entries,
            "}"
        )
    };
}

/// The same with a demand.
macro_rules! asked {
    ($entries:literal) => {
        concat!(
            "money: {labour: 32.50, clean: 15, transfer: 8, gas: 1.5, surplus: 50 %}\n",
            "layout: {wort: 28, demand: [{beer: Pale, format: can case, a_week: 20 hL}], ",
            $entries,
            "}"
        )
    };
}

/// The same with vessels that can be bought, which have this besides.
macro_rules! offered {
    ($entries:literal) => {
        concat!(
            "money: {labour: 32.50, clean: 15, transfer: 8, gas: 1.5, surplus: 50 %}\n",
            "layout: {wort: 28, demand: [{beer: Pale, format: can case, a_week: 20 hL}], ",
            "vessels: [{holds: 40 hL, rated: 200 kPa, clean: {takes: 1 h, crew: {cellar: 1 h}}, ",
            $entries,
            "}]}"
        )
    };
}

/// Each changes the sample in one place.
pub const LAYOUT_FAULTS: &[Fault] = &[
    error("V173", "b", MONEY, layout!("vessels: []")),
    error(
        "V173",
        "b",
        MONEY,
        asked!("seasons: [{name: all, weeks: 52, demand: [{beer: Pale, format: can case, a_week: 9 hL}]}]"),
    ),
    error(
        "V174",
        "b",
        MONEY,
        asked!(
            "further: [{name: a, crew: brewers, people: 1, at_most: 10, yearly: 1}, \
             {name: b, crew: packers, people: 1, at_most: 10, yearly: 1}]"
        ),
    ),
    // The sample says `labour` alone.
    error(
        "V175",
        "b",
        MONEY,
        "money: {labour: 32.50}\nlayout: {wort: 28, demand: [{beer: Pale, format: can case, a_week: 20 hL}]}",
    ),
    error(
        "V176",
        "b",
        MONEY,
        layout!(
            "seasons: [{name: a, weeks: 30, demand: [{beer: Pale, format: can case, a_week: 9 hL}]}, \
             {name: b, weeks: 23, demand: [{beer: Pale, format: can case, a_week: 9 hL}]}]"
        ),
    ),
    error(
        "V205",
        "b",
        MONEY,
        layout!(
            "seasons: [{name: a, weeks: 20, demand: [{beer: Pale, format: can case, a_week: 9 hL}]}, \
             {name: a, weeks: 20, demand: [{beer: Pale, format: can case, a_week: 9 hL}]}]"
        ),
    ),
    error(
        "V177",
        "b",
        MONEY,
        layout!(
            "demand: [{beer: Pale, format: can case, a_week: 9 hL}, {beer: Pale, format: can case, a_week: 9 hL}]"
        ),
    ),
    error("V305", "b", MONEY, layout!("demand: []")),
    error("V202", "b", MONEY, layout!("demand: [{beer: Pail, format: can case, a_week: 9 hL}]")),
    error("V203", "b", MONEY, layout!("demand: [{beer: Pale, format: keg, a_week: 9 hL}]")),
    error("V178", "b", MONEY, offered!("names: [S1], uses: [serve], price: 9000, life: 20 years")),
    error("V205", "b", MONEY, offered!("names: [F1], uses: [ferment], price: 9000, life: 20 years")),
    error("V111", "b", MONEY, offered!("names: [N1], uses: [ferment], price: 9000")),
    error("V301", "b", MONEY, offered!("names: [N1], uses: [ferment], price: 9000, life: 20")),
    error(
        "V301",
        "b",
        MONEY,
        offered!("names: [N1], uses: [ferment], price: 9000, life: 20 years, floor: 5"),
    ),
    error("V179", "b", MONEY, asked!("further: [{name: a, yearly: 1}]")),
    error("V179", "b", MONEY, asked!("further: [{name: a, crew: packers, line: cans, yearly: 1}]")),
    error(
        "V180",
        "b",
        MONEY,
        asked!(
            "further: [{name: a, line: cans, speed: 2000 L/h, people: 3, price: 1, life: 9 years}, \
             {name: b, line: cans, speed: 3000 L/h, people: 3, price: 1, life: 9 years}]"
        ),
    ),
    error(
        "V181",
        "b",
        MONEY,
        asked!("further: [{name: a, crew: packers, shift: day, people: 3, yearly: 1}]"),
    ),
    error(
        "V204",
        "b",
        MONEY,
        asked!("further: [{name: a, crew: packers, shift: night, people: 3, yearly: 1}]"),
    ),
    error("V152", "b", MONEY, asked!("further: [{name: a, crew: bakers, people: 1, yearly: 1}]")),
    error(
        "V231",
        "b",
        MONEY,
        asked!("further: [{name: a, line: jars, speed: 9 L/h, people: 1, price: 1, life: 9 years}]"),
    ),
    error("V111", "b", MONEY, asked!("further: [{name: a, crew: packers, people: 1}]")),
];

/// Every rate that is not said is told of by its name.
#[test]
fn rates_that_weigh_one_vessel_against_another_have_to_be_said() {
    let fault = LAYOUT_FAULTS.iter().find(|fault| fault.code == "V175").unwrap();
    let outcome = read(&BREWPLAN.replace(fault.from, fault.to), CELLAR, ORDERS);
    let told: Vec<&str> = outcome.findings.iter().map(|finding| finding.found.as_str()).collect();
    assert_eq!(told, ["clean", "transfer", "gas"]);
}

/// The beer's `contribution` lists cans alone.
#[test]
fn a_format_that_the_beer_does_not_come_in_is_not_asked_for() {
    let cellar = format!("{CELLAR}  - {{name: keg, line: cans, contents: 50 L, loss: 0 %}}\n");
    let plan = BREWPLAN.replace(MONEY, layout!("demand: [{beer: Pale, format: keg, a_week: 9 hL}]"));
    let codes: Vec<&str> = read(&plan, &cellar, ORDERS).findings.iter().map(|finding| finding.code).collect();
    assert!(codes.contains(&"V208"), "{codes:?}");
}

/// Money, floor and life with their units; one shift and one person more.
#[test]
fn a_layout_is_read_as_it_is_written() {
    let text = offered!(
        "names: [N1, N2], uses: [bright], price: 42000, life: 20 years, yearly: 300, floor: 100 sqft"
    )
    .replace(
        "vessels:",
        "further: [{name: a, crew: packers, people: 1, at_most: 2, yearly: 3000}], vessels:",
    );
    let outcome = read(&BREWPLAN.replace(MONEY, &text), CELLAR, ORDERS);
    let case = outcome.case.unwrap_or_else(|| panic!("{:#?}", outcome.findings));
    let layout = case.layout.as_ref().unwrap();
    assert_eq!(layout.wort, Money(2_800));
    assert_eq!((layout.seasons.len(), layout.seasons[0].weeks), (1, 52));
    assert_eq!(layout.seasons[0].demand[0].a_week, Volume(2_000_000));
    let offer = &layout.vessels[0];
    assert_eq!((offer.vessels.len(), offer.vessels[1].name.as_str()), (2, "N2"));
    // 100 ft2 are 9.290304 m2 (NIST Special Publication 811, appendix B.8).
    assert_eq!(offer.purchase.floor, Area(92_903));
    assert_eq!(
        (offer.purchase.price, offer.purchase.life, offer.purchase.yearly),
        (Money(4_200_000), 20, Money(30_000))
    );
    let further = &layout.further[0];
    assert!(matches!(further.change, Change::People { people: 1, .. }) && further.at_most == 2);
    let more = case.with_change(further.change, 2);
    assert_eq!(more.crews[1].people, case.crews[1].people + 2);
    assert_eq!(case.with_offers().vessels.len(), case.vessels.len() + 2);
}
