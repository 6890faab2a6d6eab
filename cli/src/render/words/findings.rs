//! Findings in the input.

use cellarwright_model::finding::{Finding, PathStep, Place};

/// What is wrong.
#[must_use]
pub fn sentence(finding: &Finding) -> String {
    let found = &finding.found;
    let kind = kind(finding.code);
    if found.is_empty() { kind.to_owned() } else { format!("{kind}: {found}") }
}

/// What kind of fault a code is.
fn kind(code: &str) -> &'static str {
    match code {
        "V100" => "this is not YAML",
        "V101" => "this file cannot be read",
        "V102" => "the file has nothing in it",
        "V103" => "the file is too large",
        "V104" => "the file is not plain text (UTF-8)",
        "V105" => "a tab in the indentation",
        "V106" => "nested too deeply",
        "V107" => "anchors, aliases and tags are not taken",
        "V108" => "this row of the table does not fit",
        "V109" => "a column of the table is missing",
        "V110" => "this key is unknown",
        "V111" => "a key is missing",
        "V112" => "this is of the wrong kind",
        "V113" => "this is not one of the choices",
        "V114" => "there are more findings than are shown",
        "V141" => "this is not a workbook that can be read",
        "V142" => "there is no such sheet",
        "V143" => "this is not a brew plan, cellar or change",
        "V144" => "the file has no such key",
        "V145" => "the list has no such entry",
        "V146" => "the list has several entries of this name",
        "V147" => "nothing can be added to this",
        "V148" => "this change changes nothing",
        "V149" => "a copy needs a name of its own",
        "V150" => "no batch in this vessel can be late",
        "V151" => "this lies before the day from which is planned again",
        "V152" => "there is no such crew",
        "V153" => "there is no such order",
        "V154" => "more of the order has been delivered",
        "V155" => "the plan has no such work, or several",
        "V156" => "no batch in this vessel can be measured",
        "V157" => "nothing here differs from the plan",
        "V158" => "this is not done yet",
        "V160" => "a price is for one thing",
        "V161" => "nothing is paid",
        "V162" => "this has a price already",
        "V173" => "a layout has one way to say what is asked for",
        "V174" => "there are too many ways to choose",
        "V175" => "a rate that decides is not said",
        "V176" => "the seasons are longer than a year",
        "V177" => "this is asked for twice",
        "V178" => "this vessel cannot be chosen",
        "V179" => "it is not said what can be had",
        "V180" => "two lines stand in one place",
        "V181" => "the crew works this shift already",
        "V182" => "this line is cut off",
        "V183" => "this is not what such a line holds",
        "V184" => "the item is not as it was written",
        "V185" => "this result is of no item",
        "V186" => "another result of this item differs",
        "V187" => "the item was made by another version",
        "V188" => "there is no such item",
        "V189" => "there is no such season",
        "V194" => "this cannot be bought",
        "V195" => "the plan breaks a rule, so nothing can be rehearsed",
        "V196" => "no batch can be late in the planned days",
        "V197" => "this batch is not rehearsed",
        "V190" => "there is no such order",
        "V191" => "several orders fit this",
        "V192" => "orders do not count where the aim is output",
        "V193" => "the order is due before the first day",
        "V201" => "there is no such vessel",
        "V202" => "there is no such beer",
        "V203" => "there is no such format",
        "V204" => "there is no such shift",
        "V205" => "this name is taken",
        "V206" => "there is no such line",
        "V207" => "the beer has no such tank work",
        "V208" => "the beer is not packaged in this format",
        "V291" => "the stay has no such part",
        "V231" => "there is no such vessel or line",
        "V232" => "there is no such mark",
        "V209" => "there is no such yeast",
        "V301" => "the unit is missing",
        "V302" => "this unit does not belong here",
        "V303" => "this is negative",
        "V304" => "this is out of range",
        "V305" => "this is zero, where something is needed",
        "V306" => "the least fill is more than the vessel holds",
        "V307" => "the relief setting is above the rating",
        "V308" => "the shares add up to more than 100 %",
        "V401" => "there is no such date",
        "V402" => "there is no such time of day",
        "V403" => "these are not days of the week",
        "V404" => "the stay is over before it begins",
        "V405" => "the hard end comes before the beer is ready",
        "V406" => "due before the first day",
        "V407" => "due after the last day",
        "V408" => "beer in tank cannot be from the first day or later",
        "V409" => "ready before it was filled",
        "V411" => "this part turn is no smaller than a turn",
        "V412" => "the turn is smaller than the brewhouse brews",
        "V410" => "the look-ahead is short",
        "V421" => "these dates end before they begin",
        "V422" => "the break is as long as the shift",
        "V423" => "more people are absent than there are",
        "V424" => "the crew has its people or shifts twice",
        "V425" => "a crew that only checks has no other roles",
        "V431" => "an order cannot be firm and uncertain at once",
        "V432" => "the beer has a limit of age, and the age of this stock is not given",
        "V433" => "the rate ends before it begins",
        "V441" => "this ends before it begins",
        "V470" => "tank work on a day that the batch does not have",
        "V471" => "tank work is not in the order of its days",
        "V472" => "this early the batch is not brewed yet",
        "V473" => "the contact time lasts longer than the stay",
        "V474" => "too many ways to do the tank work",
        "V475" => "tank work was done on a day that does not fit",
        "V476" => "heat is given for work that does not cool",
        "V477" => "the beer gains gravity as it ferments",
        "V478" => "the beer ferments for longer than it stays",
        "V479" => "the beer in tank is more than the cooling plant can cool",
        "V535" => "the cold store has two units",
        "V536" => "how much of this format a pallet holds is not given",
        "V533" => "there is more in stock than the cold store holds",
        "V534" => "the limit of age is shorter than the release",
        "V442" => "a pin must be on a planned day",
        "V481" => "the days of cropping end before they begin",
        "V482" => "the yeast is not kept as long as it keeps",
        "V483" => "the gravity of the beer is not given",
        "V484" => "the beer has no yeast to be counted",
        "V485" => "yeast in store cannot be from the first day or later",
        "V486" => "a piece of tank work fits no day of brewing",
        "V487" => "no keg is delivered, so none comes back",
        "V488" => "heat is given that no limit of the cooling plant counts",
        "V501" => "no vessel serves any route of the beer",
        "V502" => "this fill does not fit the vessel",
        "V503" => "two beers in one vessel",
        "V504" => "the beer does not go through bright tanks",
        "V505" => "the vessel is full and dirty at once",
        "V506" => "this batch size fits no fermenter",
        "V507" => "these uses do not go together",
        "V508" => "pressure rules out a route of the beer",
        "V509" => "nobody is there for this work",
        "V510" => "the line needs more people than are ever there",
        "V511" => "output without a mix",
        "V512" => "the crew works longer than its shift",
        "V513" => "no shift is long enough for this work",
        "V514" => "`never_after` names one beer twice",
        "V531" => "this change between beers does not fit",
        "V537" => "this change between formats does not fit",
        "V539" => "a change between formats that takes no time and is not forbidden",
        "V538" => "the line does not package this format",
        "V532" => "the mobile line does not come",
        "V541" => "what is away must be named once",
        "V542" => "a vessel must be empty for its upkeep",
        "V561" => "no cleaning set reaches it",
        "V562" => "a purge where no transfer fills the vessel",
        "V480" => "a day of the week is given twice for a tap",
        "V580" => "nothing is poured from this serving tank",
        "V581" => "no serving tank can hold this beer on tap",
        "V582" => "only beer in a serving tank rests",
        "V583" => "this use does not go with serving",
        "V586" => "the return of kegs is given twice",
        "V591" => "the format is in two kinds of kegs",
        "V592" => "more kegs than there are",
        "V593" => "kegs or materials from before the first day",
        "V594" => "nothing uses this material",
        "V595" => "there is no such filter",
        "V596" => "there is no such vessel or line",
        "V597" => "a filtered beer goes by bright tanks",
        "V598" => "the batch could be moved on its brew day",
        "V543" => "a pin names one kind of work",
        "V544" => "this pin could never be kept",
        "V545" => "a turn takes more liquor than its tank holds",
        "V546" => "the turn is larger than the brewhouse",
        "V563" => "nitrogen for beer that gets no gas in a tank",
        "V564" => "no fermenter holds the pressure",
        "V565" => "a full clean that is never due",
        "V566" => "a full clean that is shorter than the short one",
        "V567" => "a vessel without full cleans, or named twice",
        "V568" => "the last full clean is not given",
        "V569" => "too few or too many fills since the full clean",
        "V570" => "a last beer for a vessel that holds beer",
        "V572" => "a change after a mark that takes no time and is not forbidden",
        "V571" => "the last beer in it is not given",
        "V601" => "the plan file is too large",
        "V602" => "the plan file is not plain text",
        "V603" => "the plan file is not YAML",
        "V604" => "the plan file uses more of YAML than is taken",
        "V605" => "the plan file is empty",
        "V610" => "this is of the wrong kind",
        "V611" => "this key is unknown",
        "V612" => "this key is given twice",
        "V613" => "a key is missing",
        "V614" => "this key does not go with this work",
        "V620" => "there is no such vessel",
        "V621" => "there is no such beer",
        "V622" => "there is no such line",
        "V623" => "there is no such format",
        "V624" => "there is no such crew",
        "V625" => "there is no such order",
        "V626" => "there is no such shift",
        "V634" => "there is no such entry of yeast in store",
        "V629" => "there is no such yeast",
        "V627" => "the beer has no such tank work",
        "V628" => "there are no such kegs",
        "V630" => "there is no such date",
        "V631" => "this date is not in the plan's days",
        "V632" => "this period ends before it begins",
        "V633" => "no period begins on this date",
        "V640" => "this is not one of the choices",
        "V641" => "this order is given twice",
        "V650" => "this is not a volume",
        "V651" => "this is not a time",
        "V652" => "this is not a number of turns",
        "V653" => "this is not a count",
        "V654" => "this is not a number of kegs",
        "V655" => "this is not a time of day",
        _ => by_range(code),
    }
}

/// What kind of fault a code is that has no words of its own.
fn by_range(code: &str) -> &'static str {
    match code.as_bytes().get(1) {
        Some(b'1') => "this cannot be read",
        Some(b'2') => "this name does not fit",
        Some(b'3') => "this quantity does not fit",
        Some(b'4') => "this date does not fit",
        Some(b'5') => "this makes no sense",
        Some(b'6') => "this plan file does not fit",
        _ => "this does not fit",
    }
}

/// What is allowed, and what to try.
#[must_use]
pub fn help(finding: &Finding) -> Option<String> {
    let allowed = (!finding.allowed.is_empty()).then(|| format!("allowed: {}", finding.allowed));
    let lines: Vec<String> = allowed.into_iter().chain(finding.hint.clone()).collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

/// A caution in one line.
#[must_use]
pub fn caution(finding: &Finding) -> String {
    let mut text = sentence(finding);
    if !finding.allowed.is_empty() {
        text = format!("{text} ({})", finding.allowed);
    }
    if let Some(hint) = &finding.hint {
        text = format!("{text}; {hint}");
    }
    format!("{text} [{}]", place(&finding.place))
}

/// A place in a file.
#[must_use]
pub fn place(place: &Place) -> String {
    let mut text = place.file.clone();
    for number in [place.line, place.column].into_iter().flatten() {
        text = format!("{text}:{number}");
    }
    if place.path.is_empty() { text } else { format!("{text} ({})", path(&place.path)) }
}

/// A path into a file: `vessels[0].holds`.
#[must_use]
pub fn path(path: &[PathStep]) -> String {
    let mut text = String::new();
    for step in path {
        match step {
            PathStep::Key(key) if text.is_empty() => text.push_str(key),
            PathStep::Key(key) => text = format!("{text}.{key}"),
            PathStep::Item(item) => text = format!("{text}[{item}]"),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_of_the_reader_has_words_of_its_own() {
        let codes = cellarwright_model::yaml::ALL_CODES.iter().chain(&cellarwright_model::choice::CODES);
        let codes = codes.chain(&cellarwright_model::study::CODES);
        for code in codes {
            assert_ne!(kind(code), by_range(code), "{code}");
        }
        assert_eq!(kind("V999"), "this does not fit");
    }

    #[test]
    fn paths_read_as_they_are_typed() {
        let steps = [PathStep::Key("vessels".into()), PathStep::Item(2), PathStep::Key("holds".into())];
        assert_eq!(path(&steps), "vessels[2].holds");
    }
}
