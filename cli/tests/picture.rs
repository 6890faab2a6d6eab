//! The picture of the first page: the drawn vessels of the main case's own report, and nothing else.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use common::{case, cases, run};

/// Room around the drawings.
const MARGIN: f64 = 12.0;
/// Room above a drawing, for its title.
const TITLE: f64 = 26.0;

/// What of the report's style sheet drawings need.
fn style_of_drawings(page: &str) -> String {
    let style = page.split("<style>").nth(1).unwrap().split("@media print").next().unwrap();
    let kept = [
        ":root",
        "--",
        "}",
        ".tint",
        ".missing",
        "svg text",
        ".ground",
        ".strokes",
        ".rule",
        ".closed",
        ".bar",
        ".dirty",
        ".away",
        "@media screen and (prefers",
    ];
    let lines = style.lines().filter(|line| kept.iter().any(|start| line.trim_start().starts_with(start)));
    lines.collect::<Vec<&str>>().join("\n")
}

/// The text between two marks, each time.
fn between<'a>(text: &'a str, open: &'a str, close: &'a str) -> Vec<&'a str> {
    text.split(open).skip(1).map(|rest| rest.split(close).next().unwrap()).collect()
}

fn number(tag: &str, name: &str) -> f64 {
    between(tag, &format!(" {name}=\""), "\"")[0].parse().unwrap()
}

/// The drawings of vessels one below the other, as a file of its own.
fn picture(page: &str) -> String {
    let title = between(page, "<h1>", "</h1>")[0];
    let patterns = between(page, "<defs>", "</defs>")[0];
    let vessels = between(page, "<section id=\"vessels\"", "</section>")[0];
    let (mut body, mut y, mut width) = (String::new(), MARGIN, 0.0_f64);
    for figure in between(vessels, "<figure>", "</figure>") {
        let caption = between(figure, "<figcaption>", "</figcaption>")[0];
        let drawing = between(figure, "<svg ", "</svg>")[0];
        let tag = format!(" {}", drawing.split('>').next().unwrap());
        body += &format!("<text x=\"{MARGIN}\" y=\"{}\" class=\"strong\">{caption}</text>\n", y + 14.0);
        y += TITLE;
        body += &format!("<svg x=\"{MARGIN}\" y=\"{y}\" {drawing}</svg>\n");
        y += number(&tag, "height") + MARGIN;
        width = width.max(number(&tag, "width"));
    }
    let (width, style) = (width + 2.0 * MARGIN, style_of_drawings(page));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{y}\" viewBox=\"0 0 {width} {y}\" role=\"img\" aria-labelledby=\"title\">\n\
         <title id=\"title\">{title}: what is in each vessel on each day (invented)</title>\n\
         <style>\n{style}\n.paper {{ fill: var(--paper); }}\n</style>\n<defs>{patterns}</defs>\n<rect class=\"paper\" width=\"{width}\" height=\"{y}\"/>\n{body}</svg>\n"
    )
}

#[test]
fn the_picture_of_the_first_page_is_what_the_report_draws() {
    let place = tempfile::tempdir().unwrap();
    let report = place.path().join("report.html").display().to_string();
    let output = run(&["plan", &case("fennick-wharf"), "--quiet", "--seconds", "600", "--report", &report]);
    assert_eq!(output.status.code(), Some(0));
    let drawn = picture(&std::fs::read_to_string(report).unwrap());
    for words in ["Lantern Pale, 18.8 hL", "packaged, cans", "ready Fri 8 Jan", "url(#beer-0)"] {
        assert!(drawn.contains(words), "{words}");
    }
    let file = cases().join("fennick-wharf/week.svg");
    if std::env::var_os("WRITE_PICTURE").is_some() {
        std::fs::write(&file, &drawn).unwrap();
    }
    let committed = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(committed == drawn, "{} is another picture: write it anew with WRITE_PICTURE=1", file.display());
    let first_page = std::fs::read_to_string(cases().join("../README.md")).unwrap();
    assert!(first_page.contains("](cases/fennick-wharf/week.svg)"), "the first page shows it");
}
