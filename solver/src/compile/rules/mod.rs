//! The rules, one file each. Some write rows, some forbid columns, some do both; their files say which.

pub mod blend;
pub mod bright_rest;
pub mod calendar;
pub mod clean;
mod clean_ages;
mod clean_dirt;
mod clean_flow;
mod clean_times;
pub mod conditioning;
pub mod cooling;
pub mod crew;
pub mod direct;
pub mod early;
pub mod fill_level;
pub mod filter;
pub mod full_clean;
mod full_clean_times;
pub mod hours;
pub mod line;
pub mod line_formats;
pub mod one_batch;
pub mod orders;
pub mod outage;
pub mod packages;
pub mod pinned;
pub mod pressure;
pub mod ready;
pub mod serve_only;
pub mod serving;
pub mod stages;
pub mod start;
pub mod store;
pub mod tank_ways;
pub mod tank_work;
pub mod turns;
pub mod uses;
pub mod volume;
pub mod wait;
pub mod warm_store;
pub mod yeast;

use cellarwright_model::rule::RuleId;

use super::context::Context;

/// Writes the rows of every rule that is in force.
pub fn add_rows(context: &mut Context) {
    one_batch::link_brews(context);
    conditioning::add(context);
    for rule in RuleId::ALL {
        add_rule(context, rule);
    }
}

/// Writes the rows of one rule. Rules without rows work by the columns that they forbid.
fn add_rule(context: &mut Context, rule: RuleId) {
    let is_kept = context.keeps(rule);
    match rule {
        RuleId::OneBatch => one_batch::add(context),
        RuleId::Turns if is_kept => turns::add(context),
        RuleId::Direct => direct::add(context),
        RuleId::Clean => {
            clean::add(context);
            if is_kept {
                clean::add_sets(context);
            }
        }
        RuleId::Crew if is_kept => crew::add(context),
        RuleId::Line => line::add(context),
        RuleId::Volume => volume::add(context),
        RuleId::Filter => filter::add(context),
        RuleId::Packages if is_kept => packages::add(context),
        RuleId::Orders => {
            orders::add(context);
            early::add(context);
            store::add(context);
        }
        RuleId::Start => start::add(context),
        RuleId::Pinned if is_kept => pinned::add(context),
        RuleId::WarmStore if is_kept => warm_store::add(context),
        RuleId::FullClean if is_kept => full_clean::add(context),
        RuleId::TankWork => {
            tank_work::add(context);
            if is_kept {
                cooling::add(context);
            }
        }
        RuleId::Serving if is_kept => serving::add(context),
        RuleId::Yeast => yeast::add(context),
        RuleId::Turns
        | RuleId::Packages
        | RuleId::Crew
        | RuleId::FillLevel
        | RuleId::Ready
        | RuleId::Wait
        | RuleId::BrightRest
        | RuleId::Pressure
        | RuleId::Outage
        | RuleId::Pinned
        | RuleId::Serving
        | RuleId::Calendar
        | RuleId::Use
        | RuleId::Stages
        | RuleId::Hours
        | RuleId::WarmStore
        | RuleId::FullClean => {}
    }
}
