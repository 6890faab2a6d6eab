//! Names of breweries, beers and customers, put together from coined words. Any likeness to a real name is chance.

use crate::random::Random;

/// Coined words, one for each beer and brewery of a case and some for customers.
const COINED: [&str; 64] = [
    "Abberquist",
    "Ostrelby",
    "Brumlet",
    "Cavvenor",
    "Dorrisk",
    "Ellumby",
    "Fostrew",
    "Gurnlick",
    "Hobbrane",
    "Imberlo",
    "Jassoway",
    "Kettrum",
    "Lomquist",
    "Murrelby",
    "Nobwick",
    "Oddrame",
    "Pallgrew",
    "Quennock",
    "Rumblay",
    "Sorrelby",
    "Tivvock",
    "Umberlane",
    "Vennorby",
    "Wusslow",
    "Yarrabet",
    "Zellock",
    "Avonquay",
    "Bollivar",
    "Crennock",
    "Dubberlo",
    "Esselquin",
    "Farrowick",
    "Grimlay",
    "Huddrew",
    "Issenby",
    "Jorrock",
    "Knollisk",
    "Lavverby",
    "Mossquin",
    "Nimberlo",
    "Orrowick",
    "Pebberlane",
    "Quillmay",
    "Rostrew",
    "Skellumby",
    "Tarvenor",
    "Ullquist",
    "Vobberlo",
    "Willisk",
    "Yostrane",
    "Zimberby",
    "Arnquin",
    "Bezzock",
    "Coddrew",
    "Dassoway",
    "Emmerisk",
    "Fibberlo",
    "Gallumby",
    "Hestrane",
    "Ivvenor",
    "Jubblay",
    "Kosterby",
    "Lurrock",
    "Mibbrew",
];

/// Second words of breweries.
pub const PLACES: [&str; 5] = ["Yard", "Row", "Landing", "Works", "Steps"];

/// Words for kinds of beer that need little time, and more.
pub const QUICK: [&str; 6] = ["Pale", "Bitter", "Mild", "Wheat", "Red", "Brown"];
/// Words for kinds of beer that need much time.
pub const SLOW: [&str; 5] = ["Lager", "Pils", "Dark Lager", "Porter", "Strong Ale"];

const CUSTOMERS: [&str; 6] = ["Stores", "Taverns", "Wholesale", "Inns", "Grocers", "Kiosk"];

/// The coined words in an order of the seed's.
pub fn coined(random: &mut Random) -> Vec<&'static str> {
    let mut words = COINED.to_vec();
    shuffle(&mut words, random);
    words
}

/// Puts a list in an order of the seed's.
pub fn shuffle<T>(list: &mut [T], random: &mut Random) {
    for last in (1..list.len()).rev() {
        list.swap(last, random.between(0, last as i64) as usize);
    }
}

/// Customers, from the words that are left.
pub fn customers(words: &[&str], random: &mut Random) -> Vec<String> {
    let count = words.len().min(10);
    words[..count].iter().map(|word| format!("{word} {}", random.one_of(&CUSTOMERS))).collect()
}
