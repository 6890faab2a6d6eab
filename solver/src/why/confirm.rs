//! Every claim about what forbids something, proven once more by a program of its own.

use cellarwright_model::ids::OrderId;

use super::trial::Trial;
use super::{Member, What};
use crate::highs::HighsError;
use crate::side_by_side;

/// What is to be proven.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Claim {
    /// The members alone forbid it.
    Together,
    /// Without this one the others do not.
    Needed(What),
    /// Without this one, all else in force, it can be done.
    Enough(What),
}

/// The members with what is proven of them, and whether they alone are proven to forbid it. Members that turn out not to be needed
/// are left out.
pub fn members(
    trial: &Trial,
    mut kept: Vec<What>,
    asked: &[OrderId],
) -> Result<(Vec<Member>, bool), HighsError> {
    loop {
        let (is_confirmed, mut members) = confirmed(trial, &kept, asked)?;
        let needless = members.iter().find(|member| member.is_needed == Some(false));
        match needless.map(|member| member.what) {
            // The others alone were just proven to forbid it.
            Some(what @ (What::Rule(_) | What::Settled(_))) => kept.retain(|&other| other != what),
            Some(What::Order(_)) | None => {
                members.sort_by_key(|member| member.what);
                return Ok((members, is_confirmed));
            }
        }
    }
}

fn confirmed(trial: &Trial, kept: &[What], asked: &[OrderId]) -> Result<(bool, Vec<Member>), HighsError> {
    let mut all: Vec<What> = kept.to_vec();
    if asked.len() > 1 {
        all.extend(asked.iter().map(|&order| What::Order(order)));
    }
    let mut claims = vec![Claim::Together];
    claims.extend(all.iter().flat_map(|&what| [Claim::Needed(what), Claim::Enough(what)]));
    let workers = trial.options.workers();
    let proven = side_by_side::each(&claims, workers, |_, &claim| judge(trial, kept, asked, claim));
    let proven: Vec<Option<bool>> = proven.into_iter().collect::<Result<_, _>>()?;
    let members = all.iter().enumerate().map(|(place, &what)| Member {
        what,
        is_needed: proven[1 + 2 * place],
        is_enough: proven[2 + 2 * place],
    });
    Ok((proven[0] == Some(true), members.collect()))
}

fn judge(trial: &Trial, kept: &[What], asked: &[OrderId], claim: Claim) -> Result<Option<bool>, HighsError> {
    match claim {
        Claim::Together => trial.is_impossible(kept, asked, false),
        Claim::Needed(what) => {
            let others: Vec<What> = kept.iter().copied().filter(|&other| other != what).collect();
            let asked: Vec<OrderId> =
                asked.iter().copied().filter(|&order| what != What::Order(order)).collect();
            Ok(trial.is_impossible(&others, &asked, false)?.map(|is_impossible| !is_impossible))
        }
        Claim::Enough(what) => {
            Ok(trial.is_impossible_without(what, asked)?.map(|is_impossible| !is_impossible))
        }
    }
}
