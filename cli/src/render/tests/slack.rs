//! Slack of stocks, from plans written by hand.

use cellarwright_model::case::{BeerYeast, BoughtYeast, Case, Material, Yeast, YeastInStore};
use cellarwright_model::ids::{FormatId, YeastId};
use cellarwright_model::plan::{PitchFrom, Plan};
use cellarwright_model::testkit::{F2, PlanBuilder};
use cellarwright_model::units::Money;

use crate::render::testcase::{case, plan, view};
use crate::render::view::SlackRow;
use crate::render::{json, text};

use super::judged;

fn row(case: &Case, plan: &Plan, resource: &str) -> SlackRow {
    view(case, plan).slack.into_iter().find(|row| row.resource == resource).unwrap()
}

/// Three pitches of yeast cropped on the day before day 0 keep up to day 2; one is pitched on day 0.
fn pitched() -> (Case, Plan) {
    let mut case = case();
    case.in_tank.clear();
    case.beers[0].yeast = Some(BeerYeast { yeast: YeastId(0), per_turn: false, gravity: None });
    case.yeast.strains.push(Yeast {
        name: "ale yeast".into(),
        bought: None,
        crop: None,
        keeps: 3,
        keeps_at_most: 3,
        late_cost: Money::ZERO,
        generations: 3,
    });
    case.yeast.in_store.push(YeastInStore { yeast: YeastId(0), generation: 1, cropped: -1, pitches: 3 });
    let plan = PlanBuilder::new().clean(0, F2).brew(0, F2, 1).pitch(0, F2, PitchFrom::Store(0), 1).plan();
    (case, plan)
}

#[test]
fn yeast_has_a_row_and_its_tightest_day() {
    let (mut case, plan) = pitched();
    let found = row(&case, &plan, "pitches of ale yeast");
    assert_eq!(view(&case, &plan).violations, Vec::new());
    // On Thursday what is left has stood too long.
    assert_eq!((found.unit, found.used, found.available, found.left), ("pitches", 1.0, 1.0, 0.0));
    assert_eq!((found.tightest.as_str(), found.left_then, found.binding), ("2026-12-10", 0.0, true));
    case.yeast.strains[0].keeps_at_most = 5;
    let kept = row(&case, &plan, "pitches of ale yeast");
    assert_eq!((kept.used, kept.available, kept.left), (1.0, 3.0, 2.0));
    assert_eq!((kept.tightest.as_str(), kept.left_then, kept.binding), ("2026-12-07", 2.0, false));
    let shown = view(&case, &plan);
    let screen = text::plan(&judged(shown.clone(), "optimal"));
    let line = screen.lines().find(|line| line.starts_with("pitches of ale yeast")).unwrap();
    let cells: Vec<&str> = line.split_whitespace().collect();
    assert_eq!(cells[4..], ["pitches", "Mon", "7", "Dec", "2", "1", "3", "2"], "{line}");
    let document: serde_json::Value = serde_json::from_str(&json::document(&shown).unwrap()).unwrap();
    let rows = document["slack"].as_array().unwrap();
    let of_yeast = rows.iter().find(|row| row["resource"] == "pitches of ale yeast").unwrap();
    assert_eq!((&of_yeast["left"], &of_yeast["unit"]), (&2.0.into(), &"pitches".into()));
}

#[test]
fn what_can_be_bought_on_a_day_does_not_bind_on_it() {
    let (mut case, plan) = pitched();
    case.yeast.strains[0].bought = Some(BoughtYeast { price: Money(100), lead: 3 });
    let found = row(&case, &plan, "pitches of ale yeast");
    // From Thursday on it can be bought; until then two are left.
    assert_eq!((found.tightest.as_str(), found.left_then, found.binding), ("2026-12-07", 2.0, false));
    case.yeast.strains[0].bought = Some(BoughtYeast { price: Money(100), lead: 0 });
    assert!(!row(&case, &plan, "pitches of ale yeast").binding);
    case.yeast.in_store.clear();
    let bought = PlanBuilder::new().clean(0, F2).brew(0, F2, 1).pitch(0, F2, PitchFrom::Bought, 1).plan();
    let all_bought = row(&case, &bought, "pitches of ale yeast");
    assert_eq!((all_bought.used, all_bought.available, all_bought.binding), (1.0, 1.0, false));
}

#[test]
fn a_material_that_can_be_ordered_in_time_does_not_bind() {
    let mut case = case();
    case.materials.push(Material {
        name: "labels".into(),
        uses: vec![(FormatId(0), 1)],
        in_stock: 200,
        lead: Some(1),
        ..Material::default()
    });
    let plan = plan(&case);
    assert!(!row(&case, &plan, "labels").binding);
    case.materials[0].lead = None;
    assert!(row(&case, &plan, "labels").binding);
}
