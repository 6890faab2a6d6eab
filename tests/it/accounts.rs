//! Book-keeping: every millilitre of every batch is accounted for, on random cases and on one worked by hand.

use cellarwright_checker::account::Fate;
use cellarwright_checker::check;
use cellarwright_model::case::Case;
use cellarwright_model::units::{Share, Volume};
use cellarwright_solver::{NoObserver, Options, solve};
use cellarwright_tests::generator::make;

/// Random cases that are accounted for.
const CASES: u64 = 60;

fn quick() -> Options {
    Options { seconds: 5.0, gap: 0.05, threads: 1, seed: 0 }
}

/// A random case in which formats give beer away.
fn generous(seed: u64) -> Case {
    let mut case = make(seed).case;
    for (number, format) in case.formats.iter_mut().enumerate() {
        format.overfill = Share(3_000 * (number as i64 + seed as i64 % 3));
    }
    case
}

#[test]
fn accounts_add_up_to_the_millilitre() {
    let (mut batches, mut packaged, mut given) = (0, 0, 0);
    for seed in 0..CASES {
        let case = generous(seed);
        let answer = solve(&case, &quick(), &NoObserver).expect("it solves");
        assert_eq!(answer.report, check(&case, &answer.plan));
        let accounts = &answer.report.accounts;
        for account in &accounts.batches {
            assert_eq!(account.accounted(), account.filled, "seed {seed}: {account:?}");
            for fate in Fate::ALL {
                // Shares of whole millilitres: rounding alone goes below nothing.
                assert!(account.of(fate) >= Volume(-100), "seed {seed}: {fate:?} {account:?}");
            }
            batches += 1;
        }
        let all: Volume = accounts.batches.iter().map(|account| account.of(Fate::Packaged)).sum();
        assert_eq!(all, answer.report.breakdown.packaged_planned, "seed {seed}");
        let goods: Volume = accounts.packaged.iter().map(|goods| goods.volume).sum();
        assert_eq!(goods, all, "seed {seed}");
        for goods in &accounts.packaged {
            let contents = case.format(goods.format).contents;
            assert_eq!(Volume(goods.packages * contents.0) + goods.rest, goods.volume);
            assert!(goods.rest < contents);
        }
        packaged += i64::from(all > Volume::ZERO);
        given += accounts.batches.iter().map(|account| account.of(Fate::Overfill).0).sum::<i64>();
    }
    assert!(batches > 100 && packaged > 40 && given > 0, "{batches} {packaged} {given}");
}
