//! Every page opens, keeps to its own host, and can be used by who sees little or has no mouse.

use serde_json::json;

use crate::driver::{Browser, Screen};
use crate::server::serve;

const PAGES: &[&str] = &[
    "",
    "jobs/boat-shed/measure",
    "jobs/boat-shed/price",
    "jobs/boat-shed/order",
    "jobs/boat-shed/pour",
    "jobs/boat-shed/finish",
    "jobs/boat-shed/close",
    "jobs/boat-shed/floor?layer=pads",
    "jobs/boat-shed/day",
    "jobs/bakery-yard/measure",
    "jobs/bakery-yard/finish",
    "jobs/patio/finish",
    "jobs/patio/outline",
    "jobs/bakery-yard/outline",
    "jobs/patio/files",
    "jobs/boat-shed/rates",
    "jobs/boat-shed/price?option=broom",
    "jobs/none/order",
];

/// The rules of accessibility, as a script.
pub fn axe() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tools/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(path).expect("axe-core is there: ./check installs it")
}

/// What the rules find wrong on the page that is open.
fn violations(browser: &Browser, axe: &str) -> String {
    browser.run(axe);
    let found = browser.run_until_told(
        "const done = arguments[arguments.length - 1];
         axe.run(document, { resultTypes: ['violations'] }).then((result) => done(result.violations.map((v) =>
           v.id + ': ' + v.help + '\\n  ' + v.nodes.map((n) => n.target.join(' ')).join('\\n  ')).join('\\n')));",
    );
    found.as_str().unwrap_or_default().to_owned()
}

/// Things to tap that are lower or narrower than a wet thumb.
const TOO_SMALL: &str = "
    const tapped = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, summary')];
    return tapped.filter((e) => !e.closest('.skip') && e.checkVisibility()).flatMap((e) => {
        const box = e.getBoundingClientRect();
        return box.height < 47.5 || box.width < 40 ? [`${e.tagName} ${e.textContent?.trim()} ${box.width} x ${box.height}`] : [];
    });";

/// What is wrong with the page that is open: it moves sideways, breaks a rule of accessibility, is hard to tap, or complains.
pub fn wrong_on(browser: &Browser, axe: &str, page: &str) -> Vec<String> {
    browser.wait("document.readyState === 'complete'");
    let mut wrong = Vec::new();
    let wide = browser.run("return [document.documentElement.scrollWidth, window.innerWidth]");
    if wide[0].as_f64() > wide[1].as_f64() {
        wrong.push(format!("{page}: moves sideways, {wide}"));
    }
    let found = violations(browser, axe);
    if !found.is_empty() {
        wrong.push(format!("{page}: {found}"));
    }
    let small = browser.run(TOO_SMALL);
    if small != json!([]) {
        wrong.push(format!("{page}: too small to tap: {small:#}"));
    }
    // The browser itself tells that a page is not there, or asks for a sign-in.
    let told = |c: &String| !c.contains("404 (Not Found)") && !c.contains("401 (Unauthorized)");
    wrong.extend(browser.complaints().into_iter().filter(told).map(|c| format!("{page}: {c}")));
    wrong
}

fn pages_open_at(screen: Screen) {
    let server = serve();
    let browser = Browser::start(screen);
    let axe = axe();
    let mut wrong = Vec::new();
    for page in PAGES {
        browser.go(&format!("{}{page}", server.url));
        wrong.extend(wrong_on(&browser, &axe, page));
    }
    let out: Vec<String> = browser
        .requests()
        .into_iter()
        .filter(|url| url.starts_with("http") && !url.starts_with(&server.url))
        .collect();
    assert!(out.is_empty(), "asked of other hosts: {out:#?}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_page_opens_on_a_phone() {
    pages_open_at(Screen::Phone);
}

#[test]
fn every_page_opens_on_a_desk() {
    pages_open_at(Screen::Desk);
}

const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";
const RIGHT: &str = "\u{e014}";

/// Moves the focus on until it is on something.
fn tab_to(browser: &Browser, what: &str) {
    for _ in 0..80 {
        browser.press(TAB);
        if browser.run(&format!("return Boolean(document.activeElement?.matches({}))", json!(what)))
            == json!(true)
        {
            return;
        }
    }
    panic!("the keyboard never came to {what}");
}

/// From the list of jobs to the floor an hour later, without a mouse.
#[test]
fn the_keyboard_alone_leads_through_a_job() {
    let server = serve();
    let browser = Browser::start(Screen::Desk);
    browser.go(&server.url);
    tab_to(&browser, "a[href='/jobs/boat-shed/finish']");
    browser.press(ENTER);
    browser.wait("document.querySelector('#minute')");
    tab_to(&browser, ".tape a[href$='/order']");
    browser.press(ENTER);
    browser.wait("document.querySelector('#slide')");
    let before = browser.text(".odds [data-cell='1']");
    tab_to(&browser, "#slide");
    browser.press(&RIGHT.repeat(2));
    browser.wait(&format!(
        "document.querySelector('.odds [data-cell=\"1\"]').textContent !== {}",
        json!(before)
    ));
    tab_to(&browser, ".hand a[href$='/day']");
    browser.press(ENTER);
    browser
        .wait("document.querySelector('#floor-at tbody') && document.querySelector('.to-now:not([hidden])')");
    let at = browser.text("#slid-time");
    let floor = browser.text("#floor-at tbody");
    tab_to(&browser, "#minute");
    browser.press(&RIGHT.repeat(60));
    browser
        .wait(&format!("document.querySelector('#floor-at tbody').textContent.trim() !== {}", json!(floor)));
    assert_ne!(browser.text("#slid-time"), at);
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// The slider's words, the cursor and the floor belong to one time.
#[test]
fn sliding_along_the_day_line_shows_the_floor_of_that_time() {
    let server = serve();
    let browser = Browser::start(Screen::Phone);
    browser.go(&format!("{}jobs/boat-shed/day?minute=0", server.url));
    browser.wait("document.querySelector('.to-now:not([hidden])')");
    assert_eq!(browser.text("#slid-time"), "7:00 am");
    // When the first truck comes the last bay is not placed.
    assert!(browser.text("#floor-at tbody tr:last-child").contains("not placed"));
    let move_to = |minute: i64| {
        browser.run(&format!(
            "const s = document.querySelector('#minute'); s.value = {minute}; s.dispatchEvent(new Event('input'))"
        ));
    };
    move_to(185);
    browser.wait("document.querySelector('#floor-at tbody tr').textContent.includes('ready for edges')");
    assert_eq!(browser.text("#slid-time"), "10:05 am");
    // The cursor stands within the strip, at the same share of the axis as the slider.
    let share = browser.run(
        "const d = document.querySelector('.dayline').dataset, p = document.querySelector('.paper');
         const x = parseFloat(document.querySelector('.cursor').style.left) / p.offsetWidth * d.wide;
         return Number(d.first) + (x - d.left) / (d.right - d.left) * (d.last - d.first)",
    );
    assert!((share.as_f64().unwrap_or(0.0) - 185.0).abs() < 0.5, "{share}");
    let hatches = browser.run("return document.querySelectorAll('#floor-now .hx').length");
    assert!(hatches.as_u64() >= Some(2), "bays 1 and 2 are due: {hatches}");
}

/// A shot that is called out over the number pad appears, and the yards change, without leaving the page.
#[test]
fn a_shot_over_the_pad_changes_the_yards() {
    let server = serve();
    let browser = Browser::start(Screen::Phone);
    browser.go(&format!("{}jobs/patio/measure", server.url));
    browser.wait("document.querySelector('.pad button')");
    let before = browser.text(".figure .value");
    browser.run("document.querySelector('#shot-right').value = '7 ft'; document.querySelector('#shot-up').value = '6 ft'");
    for key in ["5", "ft", "1", "1/2"] {
        browser.click(&format!(".pad button[data-key='{key}']"));
    }
    assert_eq!(browser.run("return document.querySelector('#shot-reading').value"), json!("5 ft 1 1/2 in"));
    browser.click(".shoot button.main");
    browser
        .wait(&format!("document.querySelector('.figure .value').textContent.trim() !== {}", json!(before)));
    // Ready for the next: the same row, the name counted on, the stick empty.
    let next = browser.run(
        "return ['#shot-up', '#shot-name', '#shot-reading'].map((s) => document.querySelector(s).value)",
    );
    assert_eq!(next, json!(["6 ft", "n8", ""]));
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// What one phone logs stands on another within a second, and a boot print takes two taps.
#[test]
fn a_boot_print_on_one_phone_moves_the_windows_on_another() {
    let server = serve();
    let (one, other) = (Browser::start(Screen::Phone), Browser::start(Screen::Desk));
    for browser in [&one, &other] {
        browser.go(&format!("{}jobs/boat-shed/finish", server.url));
        browser.wait("document.querySelector('.now-do') && document.querySelector('.to-now:not([hidden])')");
    }
    one.click("details.seen summary");
    one.click("details.seen .tap button[value='1 in']");
    let start = std::time::Instant::now();
    other.wait("document.querySelector('main').textContent.includes('min later than planned')");
    let took = start.elapsed();
    assert!(took.as_secs_f64() < 3.0, "{took:?}: a second is meant, and the machine may be busy");
    one.wait("document.querySelector('.logged')?.textContent.includes('boot print')");
    one.click(".logged button");
    other.wait("!document.querySelector('main').textContent.includes('than planned')");
    assert_eq!(other.complaints(), Vec::<String>::new());
}
