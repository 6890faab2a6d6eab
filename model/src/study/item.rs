//! A work item: one demand and one layout with all of the case, in one line that needs no other file.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::lines::line_of;
use super::{CHEAPEST, Listed, Scenario};
use crate::case::{Asked, Case, Layout, Season, WEEKS_A_YEAR};
use crate::ids::FormatId;
use crate::units::Volume;
use crate::yaml::{CHANGE_KEPT, Kept, ReadOutcome, With, read_texts_with};

/// More of a beer in a week than any brewery packages, millilitres.
const MOST_A_WEEK: i64 = 1_000_000_000_000;

/// A work item. Two items are the same if all that stands in them is, wherever they were made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// Name-based UUID (version 5) of everything else in the item.
    pub id: String,
    /// The version of the program that made it: another one may answer otherwise.
    pub made_by: String,
    /// The demand.
    pub scenario: String,
    /// The layout.
    pub layout: String,
    /// What the layout buys: names of vessels, and of people, shifts and lines as often as they are had. Null: whatever is cheapest.
    pub buys: Option<Vec<String>>,
    /// What is asked for.
    pub seasons: Vec<ItemSeason>,
    /// Weeks after which everything repeats.
    pub weeks: usize,
    /// Gap at which a search ends, in millionths of what is found.
    pub gap_millionths: i64,
    /// Random seed of the search.
    pub seed: i32,
    /// Nodes after which a search ends; null where only the gap ends it.
    pub nodes: Option<i32>,
    /// Whether the last of the files is a change to the brew plan and its cellar.
    pub changed: bool,
    /// The brew plan first, then every file that it names.
    pub files: Vec<ItemFile>,
}

/// A season of an item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ItemSeason {
    /// Its name.
    pub season: String,
    /// Weeks of it in a year.
    pub weeks: i64,
    /// What is asked for in each of them.
    pub demand: Vec<ItemVolume>,
}

/// What is asked of a beer in a format.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ItemVolume {
    /// The beer.
    pub beer: String,
    /// The format.
    pub format: String,
    /// Packaged volume in a week, millilitres.
    pub a_week_ml: i64,
}

/// A file of an item: as text, or as bytes where it is none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ItemFile {
    /// Its name, as the brew plan has it.
    pub name: String,
    /// Its text.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// Its bytes in hexadecimal digits, of a workbook.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hex: Option<String>,
}

impl ItemFile {
    fn of(kept: &Kept) -> Self {
        let name = kept.name.clone();
        match std::str::from_utf8(&kept.bytes) {
            Ok(text) => Self { name, text: Some(text.to_owned()), hex: None },
            Err(_) => {
                let hex = kept.bytes.iter().map(|byte| format!("{byte:02x}")).collect();
                Self { name, text: None, hex: Some(hex) }
            }
        }
    }

    /// Its bytes; none where the digits are none.
    fn bytes(&self) -> Option<Vec<u8>> {
        match (&self.text, &self.hex) {
            (Some(text), None) => Some(text.clone().into_bytes()),
            (None, Some(hex)) if hex.is_ascii() && hex.len().is_multiple_of(2) => {
                let pair = |place: usize| u8::from_str_radix(hex.get(place..place + 2)?, 16).ok();
                (0..hex.len()).step_by(2).map(pair).collect()
            }
            (Some(_) | None, _) => None,
        }
    }
}

/// What all items of a study have in common.
#[derive(Clone, Debug, PartialEq)]
pub struct Common<'c> {
    /// The version of the program.
    pub made_by: &'c str,
    /// The brew plan, as it was read.
    pub case: &'c Case,
    /// What can be bought.
    pub layout: &'c Layout,
    /// Its files, the brew plan first.
    pub files: &'c [Kept],
    /// Weeks of a cycle.
    pub weeks: usize,
    /// Gap, millionths.
    pub gap_millionths: i64,
    /// Seed.
    pub seed: i32,
    /// Nodes.
    pub nodes: Option<i32>,
}

impl Common<'_> {
    /// The item of a demand and a layout; without a layout that of whatever is cheapest.
    #[must_use]
    pub fn item(&self, scenario: &Scenario, listed: Option<&Listed>) -> Item {
        let mut item = Item {
            id: String::new(),
            made_by: self.made_by.to_owned(),
            scenario: scenario.name.clone(),
            layout: listed.map_or_else(|| CHEAPEST.to_owned(), |listed| listed.name.clone()),
            buys: listed.map(|listed| names(self.layout, &listed.vessels, &listed.further)),
            seasons: scenario.seasons.iter().map(|season| self.season(season)).collect(),
            weeks: self.weeks,
            gap_millionths: self.gap_millionths,
            seed: self.seed,
            nodes: self.nodes,
            changed: self.files.iter().any(|file| file.name == CHANGE_KEPT),
            files: self.files.iter().map(ItemFile::of).collect(),
        };
        item.id = item.content_id();
        item
    }

    fn season(&self, season: &Season) -> ItemSeason {
        let volume = |asked: &Asked| ItemVolume {
            beer: self.case.beer(asked.beer).name.clone(),
            format: self.case.format(asked.format).name.clone(),
            a_week_ml: asked.a_week.0,
        };
        let demand = season.demand.iter().map(volume).collect();
        ItemSeason { season: season.name.clone(), weeks: season.weeks, demand }
    }
}

/// Names of what is bought, each as often as it is.
#[must_use]
pub fn names(layout: &Layout, vessels: &[i64], further: &[i64]) -> Vec<String> {
    let mut all = Vec::new();
    for (offer, &count) in layout.vessels.iter().zip(vessels) {
        let count = usize::try_from(count).unwrap_or(0);
        all.extend(offer.vessels.iter().take(count).map(|vessel| vessel.name.clone()));
    }
    for (one, &times) in layout.further.iter().zip(further) {
        all.extend((0..times).map(|_| one.name.clone()));
    }
    all
}

/// What names buy: vessels by offer, further things by position; the first name that buys nothing, or nothing more, where there is one.
///
/// # Errors
/// That name.
pub fn bought<'n>(
    layout: &Layout,
    names: impl IntoIterator<Item = &'n str>,
) -> Result<(Vec<i64>, Vec<i64>), String> {
    let mut vessels = vec![0; layout.vessels.len()];
    let mut further = vec![0; layout.further.len()];
    for name in names {
        let offer = layout.vessels.iter().position(|offer| offer.vessels.iter().any(|one| one.name == name));
        let other = layout.further.iter().position(|one| one.name == name);
        let (count, most) = match (offer, other) {
            (Some(place), _) => (&mut vessels[place], layout.vessels[place].vessels.len() as i64),
            (None, Some(place)) => (&mut further[place], layout.further[place].at_most),
            (None, None) => return Err(name.to_owned()),
        };
        *count += 1;
        if *count > most {
            return Err(name.to_owned());
        }
    }
    Ok((vessels, further))
}

/// What an item asks for, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The case with the demand of the item.
    pub case: Case,
    /// What its layout buys: vessels by offer, further things by position. None: whatever is cheapest.
    pub bought: Option<(Vec<i64>, Vec<i64>)>,
}

impl Item {
    /// The id that the item has by what stands in it.
    #[must_use]
    pub fn content_id(&self) -> String {
        let content = Self { id: String::new(), ..self.clone() };
        // Texts, numbers and lists can always be written.
        let bytes = serde_json::to_vec(&content).unwrap_or_default();
        Uuid::new_v5(&Uuid::NAMESPACE_OID, &bytes).to_string()
    }

    /// The line, with its end.
    #[must_use]
    pub fn line(&self) -> String {
        line_of(self)
    }

    /// Reads the case of the item.
    ///
    /// # Errors
    /// What came of reading, where its files have something to be mended; the name that nothing has, where its layout or demand has one.
    pub fn open(&self) -> Result<Opened, Unreadable> {
        self.in_range().map_err(|key| Unreadable::Name(key.to_owned()))?;
        let mut texts = Vec::new();
        for file in &self.files {
            let bytes = file.bytes().ok_or_else(|| Unreadable::Name(file.name.clone()))?;
            texts.push((file.name.as_str(), bytes));
        }
        let borrowed: Vec<(&str, &[u8])> =
            texts.iter().map(|(name, bytes)| (*name, bytes.as_slice())).collect();
        let with = if self.changed { With::Change(CHANGE_KEPT) } else { With::Nothing };
        let mut outcome = read_texts_with(&borrowed, with);
        let Some(mut case) = outcome.case.take() else { return Err(Unreadable::Files(Box::new(outcome))) };
        let seasons = self.seasons.iter().map(|season| read_season(&case, season));
        let seasons = seasons.collect::<Result<Vec<Season>, String>>().map_err(Unreadable::Name)?;
        let nothing = || Unreadable::Name("layout".to_owned());
        let layout = case.layout.as_mut().ok_or_else(nothing)?;
        layout.seasons = seasons;
        let bought = match &self.buys {
            Some(names) => Some(bought(layout, names.iter().map(String::as_str)).map_err(Unreadable::Name)?),
            None => None,
        };
        Ok(Opened { case, bought })
    }

    /// The first key whose number is none that `study prepare` writes.
    fn in_range(&self) -> Result<(), &'static str> {
        let volumes = || self.seasons.iter().flat_map(|season| &season.demand);
        let checks = [
            ("weeks", matches!(self.weeks, 1 | 2 | 4)),
            ("weeks", self.seasons.iter().all(|season| (1..=WEEKS_A_YEAR).contains(&season.weeks))),
            ("a_week_ml", volumes().all(|asked| (1..=MOST_A_WEEK).contains(&asked.a_week_ml))),
            ("gap_millionths", (0..1_000_000).contains(&self.gap_millionths)),
            ("seed", self.seed >= 0),
            ("nodes", self.nodes.is_none_or(|nodes| nodes >= 1)),
        ];
        checks.into_iter().find(|(_, is_sound)| !is_sound).map_or(Ok(()), |(key, _)| Err(key))
    }

    /// What is asked for in a week, on average over the weeks of its seasons.
    #[must_use]
    pub fn asked_a_week(&self) -> Volume {
        let weeks: i64 = self.seasons.iter().map(|season| season.weeks).sum();
        let each = self.seasons.iter().flat_map(|season| {
            season.demand.iter().map(|asked| i128::from(asked.a_week_ml) * i128::from(season.weeks))
        });
        Volume(i64::try_from(each.sum::<i128>() / i128::from(weeks.max(1))).unwrap_or(i64::MAX))
    }
}

fn read_season(case: &Case, season: &ItemSeason) -> Result<Season, String> {
    let demand = season.demand.iter().map(|asked| {
        let beer = case.beer_ids().find(|&beer| case.beer(beer).name == asked.beer);
        let format = case.formats.iter().position(|format| format.name == asked.format).map(FormatId);
        let beer = beer.ok_or_else(|| asked.beer.clone())?;
        let format = format.ok_or_else(|| asked.format.clone())?;
        Ok(Asked { beer, format, a_week: Volume(asked.a_week_ml) })
    });
    let demand = demand.collect::<Result<Vec<Asked>, String>>()?;
    Ok(Season { name: season.season.clone(), weeks: season.weeks, demand })
}

/// Why an item cannot be read.
#[derive(Debug)]
pub enum Unreadable {
    /// Its files have something to be mended.
    Files(Box<ReadOutcome>),
    /// This name is of nothing.
    Name(String),
}
