//! Files that no brewer writes: odd line ends, devices, broken bytes, faults without end.

use cellarwright_model::finding::Severity;
use cellarwright_model::yaml::read_texts;

use crate::read;
use crate::sample::{BREWPLAN, CELLAR, ORDERS};

#[test]
fn line_ends_and_byte_order_marks_do_not_matter() {
    let windows = format!("\u{feff}{}", BREWPLAN.replace('\n', "\r\n"));
    let outcome = read(&windows, &CELLAR.replace('\n', "\r\n"), &ORDERS.replace('\n', "\r\n"));
    assert_eq!(outcome.findings, Vec::new());
}

#[test]
fn files_with_faults_without_end_are_cut_short() {
    let keys: String = (0..100_000).map(|number| format!("key{number}: 1\n")).collect();
    let outcome = read_texts(&[("brewplan.yaml", keys.as_bytes())]);
    assert_eq!(outcome.findings.iter().filter(|finding| finding.code == "V114").count(), 1);
    assert!(outcome.findings.len() < 300, "{}", outcome.findings.len());

    let orders: String = (0..100_000).map(|_| "Pail,can case,12 hL,2026-12-11,yes\n").collect();
    let outcome = read(BREWPLAN, CELLAR, &format!("beer,format,quantity,due,firm\n{orders}"));
    assert_eq!(outcome.findings.iter().filter(|finding| finding.code == "V114").count(), 1);

    let many = ORDERS.to_owned() + &"Pale,can case,12 hL,2026-12-11,yes\n".repeat(100_000);
    let outcome = read(BREWPLAN, CELLAR, &many);
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V304"]);

    let names = format!("names: [{}]", (0..100_000).map(|number| format!("T{number}, ")).collect::<String>());
    let outcome = read(BREWPLAN, &CELLAR.replace("names: [B1]", &names), ORDERS);
    assert!(outcome.findings.iter().any(|finding| finding.code == "V304"));
}

#[cfg(unix)]
#[test]
fn a_device_is_not_read() {
    let outcome = cellarwright_model::yaml::read_case(std::path::Path::new("/dev/zero"));
    let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["V101"]);
}

#[test]
fn hostile_files_end_in_a_finding() {
    let deep = format!("brewplan: {}x{}", "[".repeat(100_000), "]".repeat(100_000));
    let bomb = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n".to_owned();
    let dashes = "- ".repeat(100_000);
    let stairs: String = (0..400).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect();
    let large = "# comment\n".repeat(600_000);
    for (text, code) in [
        (String::new(), "V102"),
        ("# only a comment\n".to_owned(), "V102"),
        (deep, "V106"),
        (dashes, "V106"),
        (stairs, "V106"),
        (bomb, "V107"),
        (large, "V103"),
        ("brewplan: a\u{0}b".to_owned(), "V104"),
        ("just words".to_owned(), "V112"),
    ] {
        let outcome = read_texts(&[("brewplan.yaml", text.as_bytes())]);
        let codes: Vec<&str> = outcome.findings.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, [code], "{}", &text[..text.len().min(40)]);
        assert!(outcome.case.is_none());
    }
    let outcome = read_texts(&[("brewplan.yaml", &[0xff, 0xfe, 0x00, 0x80])]);
    assert_eq!(outcome.findings[0].code, "V104");
}

/// A small generator of the SplitMix64 kind, from memory; the seed is fixed.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((mixed ^ (mixed >> 31)) % limit as u64).unwrap()
    }
}

#[test]
fn broken_bytes_never_panic() {
    let mut numbers = Numbers(7);
    for round in 0..600 {
        let mut texts =
            [BREWPLAN.as_bytes().to_vec(), CELLAR.as_bytes().to_vec(), ORDERS.as_bytes().to_vec()];
        let chosen = &mut texts[round % 3];
        if round % 4 == 0 {
            let end = numbers.below(chosen.len());
            chosen.truncate(end);
        }
        for _ in 0..=numbers.below(4) {
            if !chosen.is_empty() {
                let position = numbers.below(chosen.len());
                let odd = b"-:[]{}\"'0123456789 \n#&*x%\xff";
                chosen[position] = odd[numbers.below(odd.len())];
            }
        }
        let outcome = read_texts(&[
            ("brewplan.yaml", &texts[0]),
            ("cellar.yaml", &texts[1]),
            ("orders.csv", &texts[2]),
        ]);
        let has_error = outcome.findings.iter().any(|finding| finding.severity == Severity::Error);
        assert_eq!(outcome.case.is_none(), has_error, "round {round}: {:#?}", outcome.findings);
    }
}
