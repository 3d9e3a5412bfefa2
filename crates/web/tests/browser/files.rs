//! The outline under a finger and on the keyboard, and files that are brought.

use serde_json::json;

use crate::driver::{Browser, Screen};
use crate::server::serve;

/// Where the demonstration's drawings stand.
fn drawing(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/drawings").join(name);
    // The driver takes no way with dots in it.
    path.canonicalize().expect("the drawing is there").display().to_string()
}

/// The list of corners as it is typed.
const LIST: &str = "return document.querySelector('#corners').value.trim()";

/// A corner is moved by keys and by a finger, put and taken out; what is drawn is what is saved.
fn an_outline_is_drawn_on(screen: Screen) {
    let server = serve();
    let browser = Browser::start(screen);
    browser.go(&format!("{}jobs/patio/outline", server.url));
    browser.wait("document.querySelectorAll('.sheet .corner').length === 4");
    browser.run("document.querySelector('.sheet [data-corner=\"1\"]').focus()");
    browser.press(&"\u{e014}".repeat(3));
    let moved = browser.run(LIST);
    assert!(moved.as_str().is_some_and(|list| list.contains("right front: 14 ft 3 in, 0 ft")), "{moved}");
    browser.click("button[data-do='back']");
    // The back corner on the right, dragged to the left: it snaps to the inch, or to its neighbour's line.
    browser.drag(".sheet [data-corner='2'] .dot", (-40, 0));
    let dragged = browser.run(LIST);
    assert!(dragged != moved && dragged.as_str().is_some_and(|list| list.lines().count() == 4), "{dragged}");
    let back = dragged.as_str().and_then(|list| list.lines().nth(2).map(str::to_owned)).unwrap_or_default();
    assert!(back.ends_with(", 12 ft"), "it keeps its neighbour's line: {back}");
    // A tap on an edge puts a corner there, and taking it out takes it out.
    browser.drag(".sheet .edge", (0, 0));
    browser.wait("document.querySelectorAll('.sheet .corner').length === 5");
    browser.click("button[data-do='remove']");
    browser.wait("document.querySelectorAll('.sheet .corner').length === 4");
    let drawn = browser.run(LIST);
    browser.click("form.sketch button.main");
    browser.wait(
        "document.readyState === 'complete' && document.querySelectorAll('.sheet .corner').length === 4",
    );
    assert_eq!(browser.run(LIST), drawn);
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn an_outline_is_drawn_on_a_phone() {
    an_outline_is_drawn_on(Screen::Phone);
}

#[test]
fn an_outline_is_drawn_on_a_desk() {
    an_outline_is_drawn_on(Screen::Desk);
}

/// One tap makes an edge a wall, and it is shown.
#[test]
fn an_edge_becomes_a_wall_by_a_tap() {
    let server = serve();
    let browser = Browser::start(Screen::Phone);
    browser.go(&format!("{}jobs/patio/outline", server.url));
    let wall = "#edge-0 button[value='wall']";
    let pressed = |kind: &str| {
        format!("document.querySelector('#edge-0 button[value=\"{kind}\"]')?.ariaPressed === 'true'")
    };
    browser.wait(&pressed("form"));
    browser.click(wall);
    browser.wait(&pressed("wall"));
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

/// What a drawing holds is told, a layer is chosen, and the outline is that of the drawing.
fn a_drawing_is_brought_on(screen: Screen) {
    let server = serve();
    let browser = Browser::start(screen);
    browser.go(&format!("{}jobs/patio/files", server.url));
    browser.wait("document.querySelector('form.bring')?.dataset.sends");
    browser.type_in("#file", &drawing("patio-bowed.dxf"));
    browser.wait("document.querySelector('#brought')?.textContent.includes('HOUSE')");
    browser.run("const s = document.querySelector('#outline'); s.value = 'SLAB'; s.dispatchEvent(new Event('change', { bubbles: true }))");
    browser.wait("document.querySelector('#brought')?.textContent.includes('take the outline')");
    let wide = browser.run("return document.documentElement.scrollWidth <= window.innerWidth");
    assert_eq!(wide, json!(true), "the page moves sideways");
    browser.click("form.choice button.main");
    browser.wait("location.pathname.endsWith('/measure')");
    browser.go(&format!("{}jobs/patio/text", server.url));
    let text = browser.run("return document.querySelector('#text').value");
    let text = text.as_str().unwrap_or_default();
    assert!(text.contains("arc = \"out 27.") && text.matches("[[corner]]").count() == 4, "{text}");
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn a_drawing_is_brought_on_a_phone() {
    a_drawing_is_brought_on(Screen::Phone);
}

#[test]
fn a_drawing_is_brought_on_a_desk() {
    a_drawing_is_brought_on(Screen::Desk);
}
