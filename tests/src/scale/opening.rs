//! What is in the tanks on day 0: four fifths of them are full, of beer as it is ordered and of all ages.

use std::fmt::Write;

use super::beers::Recipe;
use super::{Brewery, Random, cellar, names};

/// Share of the tanks that are full, per cent.
const FULL: i64 = 80;

/// Writes beer in tank and dirty vessels.
pub fn write(brewery: &Brewery, random: &mut Random) -> String {
    let mut lines = Vec::new();
    let mut dirty = Vec::new();
    fermenters(brewery, random, &mut lines, &mut dirty);
    brights(brewery, random, &mut lines);
    let mut text = String::from("in_tank:\n");
    for line in lines {
        text.push_str(&line);
    }
    let _ = write!(text, "\ndirty: [{}]\n", dirty.join(", "));
    text
}

/// How many of so many tanks are full.
fn full(tanks: usize) -> usize {
    ((tanks as i64 * FULL + 50) / 100) as usize
}

fn fermenters(brewery: &Brewery, random: &mut Random, lines: &mut Vec<String>, dirty: &mut Vec<String>) {
    let recipes = &brewery.recipes;
    let all = cellar::fermenters(brewery);
    let mut order: Vec<usize> = (0..all.len()).collect();
    names::shuffle(&mut order, random);
    let (filled, empty) = order.split_at(full(all.len()));
    // Each tank has the beer that is furthest below its share of what is under way: demand times residence.
    let wanted: Vec<i64> = recipes.iter().map(|recipe| recipe.weight * (recipe.stay() + 2)).collect();
    let mut given = vec![0; recipes.len()];
    let mut of_beer: Vec<Vec<usize>> = vec![Vec::new(); recipes.len()];
    for &tank in filled {
        let turns = all[tank].1;
        let fits = (0..recipes.len()).filter(|&beer| recipes[beer].turns.contains(&turns));
        // The least given / wanted, compared crosswise, as if one turn more were given.
        let next = fits.min_by(|&one, &other| {
            ((given[one] + turns) * wanted[other]).cmp(&((given[other] + turns) * wanted[one]))
        });
        let Some(beer) = next else { continue };
        given[beer] += turns;
        of_beer[beer].push(tank);
    }
    let mut found: Vec<(usize, String)> = Vec::new();
    for (beer, tanks) in of_beer.iter().enumerate() {
        for (position, &tank) in tanks.iter().enumerate() {
            let age = age(&recipes[beer], position as i64, tanks.len() as i64, random);
            let (name, turns) = &all[tank];
            let filled = turns * brewery.size.turn;
            let on = brewery.days.on(-age);
            let slow = if random.percent(8) && age < recipes[beer].stay() {
                format!(", ready: {}", brewery.days.on(recipes[beer].stay() - age + random.between(1, 3)))
            } else {
                String::new()
            };
            let beer = &recipes[beer].name;
            found.push((
                tank,
                format!("  - {{vessel: {name}, beer: {beer}, filled: {filled} hL, on: {on}{slow}}}\n"),
            ));
        }
    }
    found.sort();
    lines.extend(found.into_iter().map(|(_, line)| line));
    let mut empty = empty.to_vec();
    empty.sort_unstable();
    dirty.extend(empty.into_iter().filter(|_| random.percent(50)).map(|tank| all[tank].0.clone()));
}

/// Days since a tank was filled: the tanks of a beer are spread evenly over its stay and the first days of waiting, and were
/// filled from Monday to Friday.
fn age(recipe: &Recipe, position: i64, tanks: i64, random: &mut Random) -> i64 {
    let most = recipe.stay() + 2;
    let even = (2 * position + 1) * most / (2 * tanks);
    let age = (even + random.between(-1, 1)).clamp(3, most);
    // Day 0 is a Monday: 1 and 2 days before it nobody brews, and so on by weeks.
    match age % 7 {
        1 => age + 2,
        2 => age + 1,
        _ => age,
    }
}

fn brights(brewery: &Brewery, random: &mut Random, lines: &mut Vec<String>) {
    let all = cellar::brights(brewery);
    let weights: i64 = brewery.recipes.iter().map(|recipe| recipe.weight).sum();
    for (name, turns) in all.iter().take(full(all.len())) {
        let mut left = random.between(1, weights);
        let drawn = brewery.recipes.iter().find(|recipe| {
            left -= recipe.weight;
            left <= 0
        });
        let Some(recipe) = drawn else { continue };
        let filled = turns * brewery.size.turn * random.between(88, 98);
        // Thursday or Friday.
        let on = brewery.days.on(-random.between(3, 4));
        lines.push(format!(
            "  - {{vessel: {name}, beer: {}, filled: {}.{:02} hL, on: {on}}}\n",
            recipe.name,
            filled / 100,
            filled % 100
        ));
    }
}
