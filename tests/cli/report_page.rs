//! A report as a page: its colours by the figures of WCAG, and what a browser makes of it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use super::report::{full_place, written};
use crate::skip::skipped;

const STYLE: &str = include_str!("../../src/report/pages/style.css");

/// Colours by name in one block of the style.
fn colours(block: &str) -> Vec<(String, [f64; 3])> {
    let value = |hex: &str| {
        let wide: String = if hex.len() == 3 {
            hex.chars().flat_map(|c| [c, c]).collect()
        } else {
            hex.to_owned()
        };
        [0, 2, 4].map(|n| f64::from(u8::from_str_radix(&wide[n..n + 2], 16).expect("a colour")))
    };
    let pairs = block.split(';').filter_map(|part| part.split_once(':'));
    pairs
        .filter_map(|(name, colour)| {
            let hex = colour.trim().strip_prefix('#')?;
            Some((name.trim_start_matches("--").to_owned(), value(hex)))
        })
        .collect()
}

/// WCAG 2.2, relative luminance.
fn luminance(rgb: [f64; 3]) -> f64 {
    let [r, g, b] = rgb.map(|v| {
        let c = v / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_measure_is_that_of_the_standard() {
    let grey = |v: f64| [v, v, v];
    assert!((contrast(grey(0.0), grey(255.0)) - 21.0).abs() < 1e-9);
    assert!((contrast(grey(119.0), grey(255.0)) - 4.4781).abs() < 5e-5);
    assert!((contrast([255.0, 0.0, 0.0], grey(255.0)) - 3.9985).abs() < 5e-5);
}

#[test]
fn every_text_stands_out_in_light_dark_and_print() {
    let blocks: Vec<&str> = STYLE
        .split(":root{")
        .skip(1)
        .filter_map(|rest| rest.split_once('}').map(|(block, _)| block))
        .collect();
    assert_eq!(blocks.len(), 3, "light, dark, print");
    for block in blocks {
        let found = colours(block);
        let of = |name: &str| {
            let colour = found.iter().find(|(n, _)| n == name);
            colour.unwrap_or_else(|| panic!("{name} in {block}")).1
        };
        for (text, ground) in [
            ("ink", "paper"),
            ("quiet", "paper"),
            ("bad", "paper"),
            ("ink", "band"),
            ("stop", "stopback"),
        ] {
            let ratio = contrast(of(text), of(ground));
            assert!(ratio >= 4.5, "{text} on {ground}: {ratio}");
        }
    }
    // No colour stands in the style outside these blocks.
    let rest: String = STYLE
        .split(":root{")
        .enumerate()
        .map(|(n, part)| {
            if n == 0 {
                part
            } else {
                part.split_once('}').expect("closed").1
            }
        })
        .collect();
    assert!(!rest.contains('#'), "{rest}");
}

pub struct Browser {
    program: PathBuf,
    profile: tempfile::TempDir,
}

impl Browser {
    /// The browser, where it and what looks at its print are here; says so where not.
    pub fn find(of: &str) -> Option<Browser> {
        let names = ["chromium", "chromium-browser"];
        let program = names.iter().find(|name| {
            Command::new(name)
                .arg("--version")
                .output()
                .is_ok_and(|o| o.status.success())
        });
        let looks = Command::new("pdfinfo").arg("-v").output().is_ok();
        let (Some(program), true) = (program, looks) else {
            let why = "chromium or pdfinfo is not here";
            skipped("browser", &format!("{why}; {of} was not looked at in one"));
            return None;
        };
        Some(Browser {
            program: program.into(),
            profile: tempfile::tempdir().expect("a folder"),
        })
    }

    /// Prints a page on paper of a size, which its text wishes for; gives the PDF. Nothing is said
    /// on the console, and nothing is fetched that the page names.
    pub fn print(&self, html: &str, size: &str, folder: &Path) -> PathBuf {
        // The paper of the browser's printer is the page's own wish.
        let sized = html.replace("@page{", &format!("@page{{size:{size};"));
        assert_ne!(sized, html);
        let page = folder.join("sized.html");
        std::fs::write(&page, sized).expect("written");
        let (pdf, log) = (folder.join("out.pdf"), folder.join("net.json"));
        let output = self.run(
            &page,
            &[
                "--no-pdf-header-footer".into(),
                format!("--print-to-pdf={}", pdf.display()),
                format!("--log-net-log={}", log.display()),
            ],
        );
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{said}");
        assert!(!said.contains("CONSOLE"), "{said}");
        // The browser asks for things of its own; the page could only ask for what its text names.
        let log = std::fs::read_to_string(&log).expect("a log of requests");
        let named = |url: &&str| {
            let host = url.split(['/', ':']).find(|part| part.contains('.'));
            host.is_some_and(|host| html.contains(host))
        };
        let fetched: Vec<&str> = log
            .split("\"url\":\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .filter(|url| url.starts_with("http"))
            .filter(named)
            .collect();
        assert!(fetched.is_empty(), "{fetched:?}");
        pdf
    }

    /// Runs on a page; every name resolves to nothing and every request goes to a port where nobody
    /// listens.
    fn run(&self, page: &Path, args: &[String]) -> Output {
        Command::new(&self.program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-dev-shm-usage",
                "--hide-scrollbars",
            ])
            .args([
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
            ])
            .args([
                "--host-resolver-rules=MAP * ~NOTFOUND",
                "--proxy-server=127.0.0.1:9",
                "--enable-logging=stderr",
                "--v=0",
            ])
            .arg(format!("--user-data-dir={}", self.profile.path().display()))
            .args(args)
            .arg(format!("file://{}", page.display()))
            .output()
            .expect("the browser runs")
    }
}

/// The text of a PDF, set out as one of the ways of `pdftotext` has it.
pub fn text_of(pdf: &Path, way: &str) -> Option<String> {
    let output = Command::new("pdftotext")
        .arg(way)
        .arg(pdf)
        .arg("-")
        .output()
        .ok()?;
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Letters and digits alone: where a line breaks does not matter.
pub fn letters(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// How many pages a PDF has, and their size.
pub fn pages(pdf: &Path) -> (usize, String) {
    let info = Command::new("pdfinfo").arg(pdf).output().expect("pdfinfo");
    let info = String::from_utf8_lossy(&info.stdout).into_owned();
    let of = |name: &str| {
        let line = info.lines().find_map(|l| l.strip_prefix(name));
        line.unwrap_or_default().trim().to_owned()
    };
    (of("Pages:").parse().expect("a number"), of("Page size:"))
}

#[test]
fn a_browser_shows_and_prints_all_of_it_and_fetches_nothing() {
    let place = full_place();
    let html = written(&place, "s1", "s1.html");
    let report: serde_json::Value =
        serde_json::from_str(&written(&place, "s1", "s1.json")).expect("JSON");
    let Some(browser) = Browser::find("the report") else {
        return;
    };
    for (size, name) in [("8.27in 11.69in", "(A4)"), ("8.5in 11in", "612 x 792")] {
        let pdf = browser.print(&html, size, place.path());
        let (count, paper) = pages(&pdf);
        assert!(paper.contains(name), "{paper}");
        assert!((5..40).contains(&count), "{count} pages");
        let text = letters(&text_of(&pdf, "-layout").expect("pdftotext"));
        for defect in report["defects"].as_array().expect("rows") {
            let title = defect["title"].as_str().expect("a title");
            assert!(text.contains(&letters(title)), "{title}");
        }
        // The last column of each table is there to its last word.
        for cell in [
            "lift the aft board",
            "What would close the gap",
            "What was seen",
            "At least one fails",
            "By when",
            "Rests on",
        ] {
            assert!(text.contains(&letters(cell)), "{cell} on {size}");
        }
        let code = report["seal"]["code"].as_str().expect("a code");
        assert!(text.contains(&letters(code)), "the seal");
    }
    narrow(&browser, &place.path().join("s1.html"));
}

/// On a phone nothing makes the page wider than the window. A copy without the rule against scripts
/// measures itself.
pub fn narrow(browser: &Browser, page: &Path) {
    let html = std::fs::read_to_string(page).expect("read");
    let measure = "<script>addEventListener('load',()=>{const e=document.scrollingElement;document.title=`measured ${e.scrollWidth} ${innerWidth}`})</script></body>";
    let open = html
        .replace("http-equiv=\"Content-Security-Policy\"", "name=\"was\"")
        .replace("</body>", measure);
    let small = page.with_file_name("narrow.html");
    std::fs::write(&small, open).expect("written");
    for width in [360, 400, 1000] {
        let output = browser.run(
            &small,
            &[format!("--window-size={width},800"), "--dump-dom".into()],
        );
        let shown = String::from_utf8_lossy(&output.stdout).into_owned();
        let told = shown.split("measured ").nth(1).expect("it measured itself");
        let figures: Vec<u32> = told
            .split([' ', '<'])
            .take(2)
            .map(|f| f.parse().expect("pixels"))
            .collect();
        assert!(figures[0] <= figures[1], "{width}: {figures:?}");
        assert!(
            figures[1] <= width.max(500),
            "the window is narrow: {figures:?}"
        );
    }
}
