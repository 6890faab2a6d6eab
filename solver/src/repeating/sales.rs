//! What a cycle sells: in place of R13, which goes by dates.
//!
//! With `aim: orders`, for each beer and format: sold + beyond <= packaged, sold <= what is asked for in the cycle; of each beer all that is beyond
//! <= its sales. With `aim: output` every litre counts, in the mix where there is one.

use std::collections::BTreeMap;

use cellarwright_model::case::Aim;
use cellarwright_model::demand::Demand;
use cellarwright_model::ids::{BeerId, FormatId};
use cellarwright_model::rule::RuleId;

use super::fold::Folded;
use crate::compile::context::Context;
use crate::compile::objective;
use crate::compile::program::Terms;

/// Packaged volume of the cycle by beer and format, hL.
pub(crate) fn packaged(
    context: &Context,
    folded: &Folded,
    from: usize,
    to: usize,
) -> BTreeMap<(BeerId, FormatId), Terms> {
    let mut packaged: BTreeMap<(BeerId, FormatId), Terms> = BTreeMap::new();
    for (&(beer, format, slot), &column) in &context.columns.packs {
        if (from..to).contains(&slot) {
            let kept = context.case.format(format).kept();
            packaged.entry((beer, format)).or_default().extend(folded.wrapped(&vec![(column, kept)]));
        }
    }
    packaged
}

/// Writes rows and values of what the cycle in slots `from` to `to` (excluded) sells.
pub fn add(context: &Context, folded: &mut Folded, demand: &Demand, from: usize, to: usize) {
    let packaged = packaged(context, folded, from, to);
    materials(context, folded, demand, &packaged);
    match &context.case.aim {
        Aim::Orders => sold(folded, demand, &packaged),
        Aim::Output(mix) => {
            let litres = packaged.into_iter().map(|(goods, terms)| {
                (goods, terms.into_iter().map(|(column, kept)| (column, 100.0 * kept)).collect::<Terms>())
            });
            let litres: BTreeMap<(BeerId, FormatId), Terms> = litres.collect();
            for &(column, counts) in litres.values().flatten() {
                folded.program.earn(column, counts);
            }
            if let Some(mix) = mix {
                objective::keep_mix(&mut folded.program, mix, &litres);
            }
        }
    }
}

/// Cans, labels and the like, bought by the piece.
pub(crate) fn materials(
    context: &Context,
    folded: &mut Folded,
    demand: &Demand,
    packaged: &BTreeMap<(BeerId, FormatId), Terms>,
) {
    let weight = objective::money_weight(&context.case.aim);
    for (goods, terms) in packaged {
        let Some(wanted) = demand.goods.get(goods) else { continue };
        let price = wanted.materials.units() / (1_000.0 * wanted.package.hectolitres());
        for &(column, kept) in terms {
            folded.program.earn(column, -price * kept * weight);
        }
    }
}

fn sold(folded: &mut Folded, demand: &Demand, packaged: &BTreeMap<(BeerId, FormatId), Terms>) {
    let program = &mut folded.program;
    let mut beyond: BTreeMap<BeerId, Terms> = BTreeMap::new();
    for (goods, terms) in packaged {
        let Some(wanted) = demand.goods.get(goods) else { continue };
        let most = wanted.asked.map_or(f64::INFINITY, |asked| asked.hectolitres());
        let sold = program.column(0.0, most, false);
        program.earn(sold, wanted.worth.units());
        let more = program.column(0.0, f64::INFINITY, false);
        program.earn(more, wanted.surplus.units());
        let mut row: Terms = terms.iter().map(|&(column, kept)| (column, -kept)).collect();
        row.extend([(sold, 1.0), (more, 1.0)]);
        program.at_most(RuleId::Orders, row, 0.0);
        beyond.entry(goods.0).or_default().push((more, 1.0));
    }
    for (beer, terms) in beyond {
        if let Some(most) = demand.beyond.get(&beer) {
            program.at_most(RuleId::Orders, terms, most.hectolitres());
        }
    }
}
