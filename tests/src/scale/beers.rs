//! The beers of a size: shares, days in tank, batch sizes, routes.

use std::fmt::Write;

use super::names;
use super::size::Size;
use super::{Brewery, Random};

/// A beer.
pub struct Recipe {
    /// Name.
    pub name: String,
    /// Weight of its share among the demand.
    pub weight: i64,
    /// Stages in days: fermenting, conditioning, chilling.
    pub stages: [i64; 3],
    /// Batch sizes in turns.
    pub turns: Vec<i64>,
    /// Also packaged from its fermenter.
    pub is_direct: bool,
    /// Tank loss, per cent.
    pub loss: i64,
    /// Days that it may wait without a charge.
    pub may_wait: i64,
}

impl Recipe {
    /// Days in tank until it is ready.
    pub fn stay(&self) -> i64 {
        self.stages.iter().sum()
    }
}

/// Draws the beers. The first third has the large shares and the large batches.
pub fn draw(size: &Size, words: &mut Vec<&'static str>, random: &mut Random) -> Vec<Recipe> {
    let largest = size.fermenters.iter().map(|class| class.turns).max().unwrap_or(1);
    let (least, most) = size.stay;
    let middle = (least + most) / 2;
    (0..size.beers)
        .map(|number| {
            let is_main = number * 3 < size.beers;
            let is_slow = number % 3 == 1;
            let stay = if is_slow { random.between(middle, most) } else { random.between(least, middle) };
            let chill = random.between(2, 3);
            let ferment = random.between(5, 7).min(stay - chill - 1);
            let kind = if is_slow { random.one_of(&names::SLOW) } else { random.one_of(&names::QUICK) };
            let turns = if is_main && largest > 2 { vec![largest / 2, largest] } else { vec![1, 2] };
            Recipe {
                name: format!("{} {kind}", words.pop().unwrap_or_default()),
                weight: if is_main { random.between(12, 20) } else { random.between(5, 9) },
                stages: [ferment, stay - ferment - chill, chill],
                turns,
                // Every second beer or so has both routes, the first one always.
                is_direct: number == 0 || random.percent(55),
                loss: random.between(4, 8),
                may_wait: random.between(3, 6),
            }
        })
        .collect()
}

/// Writes the beers of a brew plan.
pub fn write(brewery: &Brewery, random: &mut Random) -> String {
    let mut text = String::from("beers:\n");
    for (number, recipe) in brewery.recipes.iter().enumerate() {
        let [ferment, condition, chill] = recipe.stages;
        let of_beer = || brewery.products.iter().filter(|product| product.beer == number);
        let contributions: Vec<String> =
            of_beer().map(|product| format!("{}: {}", product.format, product.contribution)).collect();
        let weekly: i64 = of_beer().map(|product| product.weekly_litres).sum();
        let routes = if recipe.is_direct { "direct, bright" } else { "bright" };
        let stay = recipe.stay();
        let _ = write!(
            text,
            "  - name: {}
    turns: {:?}
    stay: {{ferment: {ferment} d, condition: {condition} d, chill: {chill} d}}
    may_wait: {} d
    must_leave: {} d
    bright_wait: {} d
    bright_must_leave: {} d
    routes: [{routes}]
    loss: {{tank: {} %, direct: 2 %}}
    carbonation: {{volumes: 2.{}, at: 2 degC, during_chill: yes, pump: yes}}
    contribution: {{{}}}
    release: 0 d
    sales: {} hL
",
            recipe.name,
            recipe.turns,
            recipe.may_wait,
            stay + random.between(16, 22),
            random.between(2, 3),
            random.between(8, 10),
            recipe.loss,
            random.between(2, 6),
            contributions.join(", "),
            (weekly / 1_000).max(1),
        );
    }
    text
}
