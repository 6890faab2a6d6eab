//! Accounts of batches, worked by hand.

use cellarwright_checker::account::{Account, Fate};
use cellarwright_checker::check;
use cellarwright_model::testkit::{B1, CAN, CANS, F1, PlanBuilder, hl, in_bright, tiny};
use cellarwright_model::units::{Share, Volume, barrels};

fn of(account: &Account) -> Vec<(Fate, i64)> {
    Fate::ALL.into_iter().map(|fate| (fate, account.of(fate).0)).filter(|&(_, volume)| volume != 0).collect()
}

#[test]
fn a_batch_by_the_bright_tank() {
    // 20 hL of wort: 5 % stay in the tank, 1 % in the transfer, 0.5 hL in the line, 2 % in the format.
    let plan = PlanBuilder::new().by_bright_tank(2).plan();
    let mut case = tiny(7);
    let accounts = check(&case, &plan).accounts;
    assert_eq!(accounts.batches.len(), 1);
    let expected = [
        (Fate::TankLoss, 100_000),
        (Fate::TransferLoss, 19_000),
        (Fate::LineLoss, 50_000),
        (Fate::FormatLoss, 36_620),
        (Fate::Packaged, 1_794_380),
    ];
    assert_eq!(of(&accounts.batches[0]), expected);
    // 1794.38 L in cans of 10.56 L: 169 whole ones and 9.74 L.
    let goods = accounts.packaged[0];
    assert_eq!((goods.packages, goods.rest), (169, Volume(9_740)));
    // Half a per cent more than the contents in every package: 1794.38 / 1.005 = 1785.452 L are sold, 8.928 L given away.
    case.formats[0].overfill = Share(5_000);
    let accounts = check(&case, &plan).accounts;
    assert_eq!(accounts.batches[0].of(Fate::Packaged), Volume(1_785_452));
    assert_eq!(accounts.batches[0].of(Fate::Overfill), Volume(8_928));
    assert_eq!(accounts.batches[0].accounted(), hl(2_000));
}

#[test]
fn a_batch_by_the_direct_route_and_what_was_there_before() {
    // Carbonated in F1: 2 % of 19 hL. 5 hL of it packaged, the rest left; B1 poured away.
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(1_000), 1)];
    let plan = PlanBuilder::new()
        .brew(0, F1, 1)
        .dump(0, B1)
        .carbonate(2, F1)
        .package(3, CANS, CAN, F1, hl(500))
        .plan();
    let accounts = check(&case, &plan).accounts;
    let bright = accounts.batches.iter().find(|account| account.vessel == B1).unwrap();
    assert_eq!((of(bright), bright.is_bright), (vec![(Fate::PouredAway, 1_000_000)], true));
    let batch = accounts.batches.iter().find(|account| account.vessel == F1).unwrap();
    let expected = [
        (Fate::TankLoss, 100_000),
        (Fate::DirectLoss, 38_000),
        (Fate::LineLoss, 50_000),
        (Fate::FormatLoss, 9_000),
        (Fate::Packaged, 441_000),
        (Fate::Left, 1_362_000),
    ];
    assert_eq!(of(batch), expected);
}

#[test]
fn two_packagings_share_the_losses_of_their_run() {
    let mut case = tiny(7);
    case.in_tank = vec![in_bright(B1, hl(1_000), 1)];
    let other = case.vessels[2].clone();
    case.vessels.push(other);
    case.vessels[3].name = "B2".into();
    let second = cellarwright_model::ids::VesselId(3);
    case.in_tank.push(in_bright(second, hl(3_000), 1));
    let plan = PlanBuilder::new()
        .package(0, CANS, CAN, B1, hl(1_000))
        .package(0, CANS, CAN, second, hl(3_000))
        .plan();
    let report = check(&case, &plan);
    let parts: Vec<(i64, i64)> = report
        .accounts
        .batches
        .iter()
        .map(|account| (account.of(Fate::LineLoss).0, account.of(Fate::Packaged).0))
        .collect();
    // A quarter and three quarters of 0.5 hL, and of (40 - 0.5) x 0.98 = 38.71 hL.
    assert_eq!(parts, [(12_500, 967_750), (37_500, 2_903_250)]);
}

/// 27 CFR 25.11: a barrel is 31 US gallons; 27 CFR 25.156 (kegs) and 25.158 (cases) print these, to five decimals.
#[test]
fn barrels_are_those_of_the_record() {
    // A US fluid ounce is 29.5735295625 mL exactly; volumes are whole millilitres.
    let ounces = |count: i64, each: f64| Volume((count as f64 * each * 29.573_529_562_5).round() as i64);
    for (volume, printed) in [
        (Volume(30_000), "0.25565"),
        (Volume(50_000), "0.42608"),
        (Volume(18_927), "0.16129"),
        (ounces(24, 12.0), "0.07258"),
        (ounces(24, 16.0), "0.09677"),
        (ounces(12, 22.0), "0.06653"),
        (Volume(24 * 500), "0.10226"),
        (Volume(12 * 750), "0.07670"),
        // Computed: 20 / 117.347765304 L, and a hectolitre.
        (Volume(20_000), "0.17043"),
        (Volume(100_000), "0.85217"),
    ] {
        assert_eq!(barrels(volume), printed, "{volume}");
    }
    assert_eq!(barrels(Volume(117_348)), "1.00000");
    assert_eq!(barrels(Volume(-58_674)), "-0.50000");
}
