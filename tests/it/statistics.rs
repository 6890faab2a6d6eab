//! The size of the program by rule: adds up to the whole, and a feature that is absent has no rows.

use std::path::Path;

use cellarwright_model::case::Case;
use cellarwright_model::rule::RuleId;
use cellarwright_model::yaml::read_case;
use cellarwright_solver::{Answer, NoObserver, solve};

use crate::oracle::exact;

fn answer(case: &Case) -> Answer {
    solve(case, &exact(), &NoObserver).expect("it solves")
}

fn read(name: &str) -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases/tiny").join(name).join("brewplan.yaml");
    read_case(&path).case.expect("a case")
}

#[test]
fn rows_and_nonzeros_of_the_rules_are_those_of_the_program() {
    for name in ["one-bright", "used-up-yeast", "tank-inspected"] {
        let answer = answer(&read(name));
        let rows: usize = answer.by_rule.values().map(|size| size.rows).sum();
        let nonzeros: usize = answer.by_rule.values().map(|size| size.nonzeros).sum();
        assert_eq!((rows, nonzeros), (answer.size.rows, answer.size.nonzeros), "{name}");
        for (rule, size) in &answer.by_rule {
            // A row has an entry at least, and each column once.
            assert!(0 < size.rows && size.rows <= size.nonzeros, "{name} {rule:?} {size:?}");
            assert!(0 < size.columns_touched && size.columns_touched <= size.nonzeros, "{name} {rule:?}");
            assert!(size.columns_touched <= answer.size.columns, "{name} {rule:?}");
            assert!(size.nonzeros <= size.rows * size.columns_touched, "{name} {rule:?}");
        }
    }
}

#[test]
fn without_yeast_there_are_no_rows_of_yeast() {
    let mut made = read("used-up-yeast");
    assert!(answer(&made).by_rule.contains_key(&RuleId::Yeast));
    made.yeast = read("one-bright").yeast;
    for beer in &mut made.beers {
        beer.yeast = None;
    }
    assert!(!answer(&made).by_rule.contains_key(&RuleId::Yeast));
    let plain = answer(&read("one-bright"));
    for rule in [RuleId::Yeast, RuleId::Serving, RuleId::Pinned, RuleId::WarmStore, RuleId::Packages] {
        assert!(!plain.by_rule.contains_key(&rule), "{rule:?}");
    }
}
