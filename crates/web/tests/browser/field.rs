//! The pages on site without a signal: what is logged then arrives once, after a reload and after the phone starts again.

use serde_json::json;

use crate::driver::{Browser, Screen};
use crate::server::{Server, serve};

/// Opens the pour page and waits until the job is on the phone.
fn taken_along(browser: &Browser, server: &Server) {
    browser.go(&format!("{}jobs/boat-shed/pour", server.url));
    for _ in 0..6 {
        let taken = "return Boolean(document.querySelector('#waiting')?.dataset.taken)";
        for _ in 0..100 {
            if browser.run(taken) == json!(true) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
    }
    panic!("the job was not taken along: {}", browser.text("#waiting"));
}

fn waits(browser: &Browser, count: usize) {
    browser.wait(&format!("document.querySelector('#waiting')?.dataset.waiting === '{count}'"));
}

/// Three things are logged on two pages while the server is gone. The print comes first: once a truck is told to come so late, no bay
/// is struck off.
fn logged_without_a_signal(browser: &Browser, server: &Server) {
    browser.go(&format!("{}jobs/boat-shed/finish", server.url));
    browser.wait("document.querySelector('.as-of')");
    browser.click_in("details.seen", "details.seen .tap button[value='1 in']");
    waits(browser, 1);
    browser.go(&format!("{}jobs/boat-shed/pour", server.url));
    waits(browser, 1);
    browser.click(".taps .tap button[value='arrived']");
    waits(browser, 2);
    browser.run("document.querySelector('#told-remark').value = 'gate is locked'");
    browser.click_in("main details:has(#told-remark)", ".told-value:has(#told-remark) button");
    waits(browser, 3);
}

/// All three are there, once each, with the times at which they were made.
fn arrived_once(browser: &Browser, server: &Server, before: jiff::Timestamp) {
    browser.wait("document.querySelector('#waiting')?.dataset.safe === '3'");
    assert!(browser.text("#waiting").contains("Safe: 3 entries"), "{}", browser.text("#waiting"));
    let state = server.app.shelf.job("boat-shed").expect("the shelf").expect("the job");
    let told: Vec<String> = state.log.iter().map(|logged| format!("{:?}", logged.entry.what)).collect();
    assert_eq!(told.len(), 3, "{told:#?}");
    for (told, part) in told.iter().zip(["Print", "Arrived", "gate is locked"]) {
        assert!(told.contains(part), "{told}: {part} is expected");
    }
    for logged in &state.log {
        assert!((before..server.app.clock.now()).contains(&logged.entry.at), "{}", logged.entry.at);
    }
}

#[test]
fn what_is_logged_without_a_signal_arrives_once() {
    let mut server = serve();
    let browser = Browser::start(Screen::Phone);
    taken_along(&browser, &server);
    let before = server.app.clock.now();
    server.stop();
    logged_without_a_signal(&browser, &server);
    // A reload loses nothing, and an address that is not kept says so.
    browser.go(&format!("{}jobs/boat-shed/pour", server.url));
    waits(&browser, 3);
    assert!(browser.text("#waiting").contains("load 1 arrived: waiting"), "{}", browser.text("#waiting"));
    browser.go(&format!("{}jobs/boat-shed/price", server.url));
    assert!(browser.text("main").contains("not kept on this phone"));
    browser.go(&format!("{}jobs/boat-shed/pour", server.url));
    waits(&browser, 3);
    server.start();
    browser.click("#waiting button:not(.quiet)");
    arrived_once(&browser, &server, before);
    browser.wait("!document.querySelector('.as-of')");
    browser.wait("document.querySelector('.logged')?.textContent.includes('boot print')");
    // Sent again by hand, an entry is known and not a second one.
    browser.run("navigator.serviceWorker.controller.postMessage({ what: 'send' })");
    assert_eq!(server.app.shelf.job("boat-shed").expect("the shelf").expect("the job").log.len(), 3);
}

#[test]
fn a_phone_that_starts_again_still_has_what_waits() {
    let mut server = serve();
    let first = Browser::start(Screen::Phone);
    let profile = first.profile();
    taken_along(&first, &server);
    let before = server.app.clock.now();
    server.stop();
    logged_without_a_signal(&first, &server);
    drop(first);
    let again = Browser::start_with(Screen::Phone, profile);
    again.go(&format!("{}jobs/boat-shed/finish", server.url));
    waits(&again, 3);
    server.start();
    // It sends by itself within some seconds.
    for _ in 0..3 {
        if again.run("return document.querySelector('#waiting')?.dataset.safe") == json!("3") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_secs(5));
    }
    arrived_once(&again, &server, before);
}
