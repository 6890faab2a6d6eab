//! The report in a real browser: nothing on the console, no wider than the window, printed on the pages that are expected, and
//! names that look like markup stay names.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod chromium;

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

/// Measures the page once it stands, and leaves the numbers in it.
const PROBE: &str = r#"<script>
const within = (element, selector) => element.closest(selector) !== null;
const overlong = [...document.querySelectorAll('body *')].filter(e => {
  const box = e.getBoundingClientRect();
  return box.right > innerWidth + 0.5 && !within(e, '.drawing, .frame, .patterns') ;
});
const texts = [...document.querySelectorAll('svg[role=img]')].flatMap(svg => {
  const edge = svg.viewBox.baseVal.width;
  return [...svg.querySelectorAll('text')].filter(t => { const b = t.getBBox(); return b.x + b.width > edge + 0.5; });
});
const result = {
  window: innerWidth, page: document.documentElement.scrollWidth,
  overlong: overlong.map(e => e.outerHTML.slice(0, 80)),
  framed: [...document.querySelectorAll('.drawing, .frame')].filter(e => e.scrollWidth > e.clientWidth + 1).length,
  squeezed: [...document.querySelectorAll('th, td')].filter(e => {
    const box = e.getBoundingClientRect(); return box.width < 56 && box.height > 110 && /[a-z]{4}/i.test(e.textContent);
  }).map(e => e.textContent),
  broken: [...document.querySelectorAll('th, td')].flatMap(e => {
    const walk = document.createTreeWalker(e, NodeFilter.SHOW_TEXT), words = [];
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      for (const found of node.data.matchAll(/(?<=^|[\s(])[a-z]{2,20}(?=[\s,.;:)]|$)/gi)) {
        const range = document.createRange();
        range.setStart(node, found.index); range.setEnd(node, found.index + found[0].length);
        if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) words.push(found[0]);
      }
    }
    return words;
  }),
  cut: texts.map(t => t.textContent), sections: document.querySelectorAll('main > section').length,
  scripts: document.scripts.length - 1, images: document.images.length,
  drawings: [...document.querySelectorAll('svg[role=img]')].filter(e => e.getBoundingClientRect().height > 40).length,
  paper: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.body).color,
  cells: [...document.querySelectorAll('td, th')].map(e => e.textContent.trim()),
};
const note = document.createElement('pre');
note.id = 'measured'; note.textContent = JSON.stringify(result); document.body.append(note);
</script>"#;

/// A report of a plan of a brew plan.
fn report(brewplan: &Path, folder: &Path) -> PathBuf {
    let page = folder.join("report.html");
    let output = Command::new(env!("CARGO_BIN_EXE_cellarwright"))
        .args(["plan", "--quiet", "--gap", "5%", "--report"])
        .args([&page, brewplan])
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    page
}

fn cases() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../cases").canonicalize().unwrap()
}

/// A report of what a comparison says.
fn compared(base: &Path, others: &[PathBuf], folder: &Path) -> PathBuf {
    let page = folder.join("compared.html");
    let output = Command::new(env!("CARGO_BIN_EXE_cellarwright"))
        .args(["compare", "--quiet", "--for-ever", "--weeks", "2", "--report"])
        .arg(&page)
        .arg(base)
        .args(others)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    page
}

/// A copy of a page in which scripts may run, with the probe at its end.
fn probed(page: &Path) -> PathBuf {
    let text = std::fs::read_to_string(page).unwrap();
    let (before, after) = text.split_once("<meta http-equiv").unwrap();
    let (_, after) = after.split_once('>').unwrap();
    let copy = page.with_file_name("probed.html");
    std::fs::write(&copy, format!("{before}{}", after.replace("</body>", &format!("{PROBE}</body>"))))
        .unwrap();
    copy
}

fn measured(browser: &str, page: &Path, width: u32, further: &[&str]) -> Value {
    let shown = chromium::show(browser, &probed(page), width, further);
    let note = shown.document.split("<pre id=\"measured\">").nth(1).unwrap().split("</pre>").next().unwrap();
    let note = note.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    serde_json::from_str(&note).unwrap()
}

/// What the tests below rely on: a page that is too wide, or says something, is found out.
#[test]
fn the_browser_finds_pages_that_are_too_wide_or_say_something() {
    let Some(browser) = chromium::found() else { return };
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("wrong.html");
    let policy = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">";
    let body = "<div style='width: 1900px'>wide</div><table><td style='max-width: 3em; overflow-wrap: anywhere'>brewhouse</td></table><script>console.log('said')</script>";
    std::fs::write(&page, format!("<!DOCTYPE html><html><head>{policy}</head><body>{body}</body></html>"))
        .unwrap();
    let found = measured(browser, &page, 1280, &[]);
    assert_eq!((found["window"].as_i64(), found["scripts"].as_i64()), (Some(1280), Some(1)), "{found}");
    assert_eq!(found["broken"][0], "brewhouse", "{found}");
    assert!(found["page"].as_i64() >= Some(1900) && found["overlong"][0].is_string(), "{found}");
    // With its policy the script is kept from running, which is said; without, it says something itself.
    assert!(!chromium::show(browser, &page, 1280, &[]).messages.is_empty());
    let said = chromium::show(browser, &probed(&page), 1280, &[]).messages;
    assert!(said.iter().any(|message| message.contains("said")), "{said:?}");
}

/// The report of a command is silent and fits at two widths; it has so many sections at least, and a table with this cell.
fn is_silent_and_fits(command: &[&str], name: &str, sections: i64, cell: &str) {
    let Some(browser) = chromium::found() else { return };
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("report.html");
    let output = Command::new(env!("CARGO_BIN_EXE_cellarwright"))
        .args(command)
        .args(["--quiet", "--report"])
        .args([&page, &cases().join(name)])
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let shown = chromium::show(browser, &page, 1280, &[]);
    assert_eq!(shown.messages, Vec::<String>::new());
    for width in [1280, 640] {
        let found = measured(browser, &page, width, &[]);
        assert_eq!((&found["window"], &found["page"]), (&Value::from(width), &Value::from(width)), "{found}");
        assert_eq!(found["overlong"], Value::Array(Vec::new()));
        assert_eq!(found["cut"], Value::Array(Vec::new()), "words beyond the edge of a drawing");
        assert_eq!(found["squeezed"], Value::Array(Vec::new()), "words broken into letters");
        assert_eq!(found["broken"], Value::Array(Vec::new()), "words broken in two at {width} px");
        assert!(found["sections"].as_i64() >= Some(sections), "{found}");
        let cells = found["cells"].as_array().unwrap();
        assert!(cells.iter().any(|one| one == cell), "{found}");
    }
}

#[test]
fn the_report_of_a_comparison_is_silent_and_fits() {
    let growth = cases().join("growth");
    let change = |name: &str| growth.join(name).display().to_string();
    let (tank, packers) = (change("bright-tank.yaml"), change("packers.yaml"));
    let base = growth.join("six-fermenters/brewplan.yaml").display().to_string();
    let command = ["compare", &base, &tank, &packers, "--for-ever", "--weeks", "2"];
    is_silent_and_fits(&command, "growth/fermenter.yaml", 7, "fermenter days that bright tanks save");
}

#[test]
fn the_report_of_a_rehearsal_is_silent_and_fits() {
    let folder = tempfile::tempdir().unwrap();
    let (plan, brewplan) = (folder.path().join("plan.yaml"), cases().join("tiny/rehearsal/brewplan.yaml"));
    let mut made = Command::new(env!("CARGO_BIN_EXE_cellarwright"));
    made.args(["plan", "--quiet", "--out"]).args([&plan, &brewplan]).stdout(Stdio::null());
    assert!(made.status().unwrap().success());
    let plan = plan.display().to_string();
    let command = ["rehearse", "--from", &plan, "--draws", "4"];
    is_silent_and_fits(&command, "tiny/rehearsal/brewplan.yaml", 3, "Plain Ale in F1");
}

#[test]
fn the_report_of_levers_is_silent_and_fits() {
    let command = ["levers", "--weeks", "2", "--pairs", "--seconds", "30"];
    let brewplan = "tiny/three-in-two-weeks/brewplan.yaml";
    is_silent_and_fits(&command, brewplan, 4, "fermenter of 10 hL (as F1 .. F3)");
}

#[test]
fn the_report_of_a_layout_is_silent_and_fits() {
    is_silent_and_fits(&["layout"], "tiny/fermenter-or-bright/brewplan.yaml", 7, "B1, B2");
}

#[test]
fn the_report_is_silent_fits_and_prints_on_the_expected_pages() {
    let Some(browser) = chromium::found() else { return };
    let folder = tempfile::tempdir().unwrap();
    let page = report(&cases().join("fennick-wharf/brewplan.yaml"), folder.path());
    let shown = chromium::show(browser, &page, 1280, &[]);
    assert_eq!(shown.messages, Vec::<String>::new());
    assert!(!shown.document.contains("<script"));

    let light = measured(browser, &page, 1280, &[]);
    assert_eq!((&light["window"], &light["page"]), (&Value::from(1280), &Value::from(1280)), "{light}");
    assert_eq!(light["overlong"], Value::Array(Vec::new()));
    assert_eq!(light["cut"], Value::Array(Vec::new()), "words beyond the edge of a drawing");
    assert_eq!(light["broken"], Value::Array(Vec::new()), "words broken in two");
    assert_eq!(light["framed"], 0, "nothing has to be moved within its frame");
    assert_eq!((&light["scripts"], &light["images"]), (&Value::from(0), &Value::from(0)));
    assert!(light["sections"].as_i64() >= Some(9) && light["drawings"].as_i64() >= Some(8), "{light}");

    // At 200 % a window of 1280 px has 640 px: the page does not scroll sideways, drawings and tables do within their frames.
    let zoomed = measured(browser, &page, 640, &["--force-device-scale-factor=2"]);
    assert_eq!((&zoomed["page"], &zoomed["overlong"]), (&Value::from(640), &Value::Array(Vec::new())));
    assert_eq!(zoomed["squeezed"], Value::Array(Vec::new()), "words broken into letters");

    let dark = measured(browser, &page, 1280, &["--blink-settings=preferredColorScheme=0"]);
    assert_eq!(
        (&light["paper"], &light["ink"]),
        (&Value::from("rgb(251, 250, 246)"), &Value::from("rgb(29, 27, 24)"))
    );
    assert_eq!(
        (&dark["paper"], &dark["ink"]),
        (&Value::from("rgb(24, 22, 19)"), &Value::from("rgb(241, 237, 228)"))
    );

    let sheets = chromium::print(browser, &page);
    let heads: Vec<&str> =
        sheets.iter().map(|sheet| sheet.lines.first().map_or("", String::as_str)).collect();
    assert!(heads.iter().all(|head| !head.is_empty()), "a blank page: {heads:?}");
    let expected = [
        ("Week of 7 December, Fennick Wharf", true),
        ("Work by day", true),
        ("A sheet for each crew", true),
        ("cellar hands", true),
        ("packers", true),
        ("Vessels by day", false),
        ("Orders", true),
        ("Stock and orders", false),
        ("Slack, tightest first", true),
    ];
    let places = expected.map(|(head, _)| heads.iter().position(|found| *found == head));
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?} {heads:?}");
    assert_eq!(
        (places[0], places[1], places[2], places[3]),
        (Some(0), Some(1), Some(2), Some(3)),
        "{heads:?}"
    );
    for (place, (head, is_upright)) in places.into_iter().flatten().zip(expected) {
        let (width, height) = sheets[place].size;
        // A4 (ISO 216): 210 by 297 mm, in points of 1/72 inch.
        let short_side = 210.0 / 25.4 * 72.0;
        assert!((width.min(height) - short_side).abs() < 1.0, "{head}: {width} by {height}");
        assert_eq!(width < height, is_upright, "{head}: {width} by {height}");
    }
    assert!(sheets.len() <= 20, "{} pages", sheets.len());
    let drawn = &sheets[places[5].unwrap()];
    assert!(
        drawn.lines.iter().any(|line| line.starts_with("F1 ") || line == "F1"),
        "the drawing is on the page of its heading: {drawn:?}"
    );
}

#[test]
fn names_that_look_like_markup_stay_names() {
    let Some(browser) = chromium::found() else { return };
    let folder = tempfile::tempdir().unwrap();
    let own = cases().join("tiny/whole-packs/brewplan.yaml");
    let of_cellar = cases().join("tiny/keg-pool/cellar.yaml");
    let names = [
        ("Plain Ale", "<script>console.log('beer')</script>"),
        ("Tuesday", "<img src=x onerror=console.log('order')>"),
        ("packers", "</table><style>*{width:9999px}</style>"),
        ("one-way kegs", "\\\"><svg onload=console.log(1)>&amp;"),
        ("Whole packs", "</title></style><script>console.log('title')</script>"),
    ];
    let mut text = std::fs::read_to_string(&own).unwrap();
    for (plain, hostile) in names {
        assert!(text.contains(plain), "{plain}");
        text = text.replace(plain, &format!("\"{hostile}\""));
    }
    // And one without a place to break a line.
    let text = text.replace("name: Wednesday", &format!("name: {}", "w".repeat(80)));
    let text = text.replace("../keg-pool/cellar.yaml", "cellar.yaml");
    let brewplan = folder.path().join("brewplan.yaml");
    std::fs::write(&brewplan, text).unwrap();
    std::fs::copy(&of_cellar, folder.path().join("cellar.yaml")).unwrap();
    let page = report(&brewplan, folder.path());
    let shown = chromium::show(browser, &page, 1280, &[]);
    assert_eq!(shown.messages, Vec::<String>::new());
    let found = measured(browser, &page, 1280, &[]);
    assert_eq!(
        (&found["scripts"], &found["images"], &found["page"]),
        (&Value::from(0), &Value::from(0), &Value::from(1280))
    );
    let zoomed = measured(browser, &page, 640, &["--force-device-scale-factor=2"]);
    assert_eq!((&zoomed["page"], &zoomed["overlong"]), (&Value::from(640), &Value::Array(Vec::new())));
    let cells: Vec<&str> = found["cells"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    for name in [names[0].1, names[1].1, names[2].1] {
        assert!(cells.contains(&name), "{name} in {cells:?}");
    }
    assert!(cells.contains(&"\"><svg onload=console.log(1)>&amp;"), "{cells:?}");
}

#[test]
fn the_page_of_a_comparison_is_silent_fits_and_keeps_names_that_look_like_markup() {
    let Some(browser) = chromium::found() else { return };
    let folder = tempfile::tempdir().unwrap();
    let growth = cases().join("growth");
    let title = "</title></style><script>console.log('title')</script>";
    let change = folder.path().join("change.yaml");
    let vessel = "<img src=x onerror=console.log(1)>";
    let text = format!(
        "change: \"{title}\"\nadd: {{cellar: {{vessels: {{like: F1, names: [\"{vessel}\"]}}}}}}\nalter: {{brewplan: {{crew: {{packers: {{name: \"<b>packers</b>\"}}}}}}}}\n"
    );
    std::fs::write(&change, text).unwrap();
    let others =
        [change, growth.join("bright-tank.yaml"), growth.join("packers.yaml"), growth.join("fermenter.yaml")];
    let page = compared(&growth.join("three-fermenters/brewplan.yaml"), &others, folder.path());
    let shown = chromium::show(browser, &page, 1280, &[]);
    assert_eq!(shown.messages, Vec::<String>::new());
    let found = measured(browser, &page, 1280, &[]);
    assert_eq!(
        (&found["scripts"], &found["images"], &found["page"]),
        (&Value::from(0), &Value::from(0), &Value::from(1280)),
        "{found}"
    );
    assert_eq!(found["overlong"], Value::Array(Vec::new()));
    assert!(found["sections"].as_i64() >= Some(7), "{found}");
    let zoomed = measured(browser, &page, 640, &["--force-device-scale-factor=2"]);
    assert_eq!((&zoomed["page"], &zoomed["overlong"]), (&Value::from(640), &Value::Array(Vec::new())));
    let cells: Vec<&str> = found["cells"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    for words in [title, "proven better", "worth the same"] {
        assert!(cells.contains(&words), "{words} in {cells:?}");
    }
    let sheets = chromium::print(browser, &page);
    assert!((2..=12).contains(&sheets.len()), "{} pages", sheets.len());
    let text: Vec<&str> = sheets.iter().flat_map(|sheet| &sheet.lines).map(String::as_str).collect();
    let words = || text.iter().flat_map(|line| line.split_whitespace());
    assert!(words().any(|word| word == "brewhouse"));
    let broken = words().find(|word| word.starts_with("brewh") && !word.starts_with("brewhouse"));
    assert_eq!(broken, None, "a word broken in two on paper");
}
