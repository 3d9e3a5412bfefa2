//! People in a browser: the first owner, an invitation taken up on a phone, and a session that ends in the middle of a pour.

use serde_json::json;

use crate::driver::{Browser, Screen};
use crate::pages::{axe, wrong_on};
use crate::server::serve_folder;

const PASSWORD: &str = "wet slab at noon";

/// Fills fields and sends their form.
fn send(browser: &Browser, fields: &[(&str, &str)], button: &str) {
    for (field, value) in fields {
        browser.run(&format!("document.querySelector({}).value = {}", json!(field), json!(value)));
    }
    browser.click(button);
}

fn two_passwords<'a>(name: &'a str, password: &'a str) -> [(&'static str, &'a str); 3] {
    [("#name", name), ("#password", password), ("#again", password)]
}

#[test]
fn an_owner_invites_the_crew_and_nothing_that_was_typed_is_lost() {
    let (server, store) = serve_folder();
    let (desk, phone) = (Browser::start(Screen::Desk), Browser::start(Screen::Phone));
    let axe = axe();
    let mut wrong = Vec::new();
    let mut look = |browser: &Browser, page: &str| wrong.extend(wrong_on(browser, &axe, page));
    desk.go(&format!("{}people", server.url));
    look(&desk, "people without anybody");
    send(&desk, &two_passwords("Ada", PASSWORD), "main button.main");
    desk.wait("document.querySelector('ul.people')?.textContent.includes('Ada')");
    look(&desk, "people");
    desk.click("button[value=crew]");
    desk.wait("document.querySelector('.qr svg')");
    look(&desk, "invitation");
    let link = desk.run("return document.querySelector('#link').value");
    phone.go(link.as_str().unwrap_or_default());
    look(&phone, "join");
    send(&phone, &two_passwords("Ben", PASSWORD), "main button.main");
    phone.wait("document.querySelector('.jobs')");
    look(&phone, "jobs of the crew");
    phone.click(".jobs a");
    phone.wait("document.querySelector('.tape')");
    assert_eq!(phone.run("return document.querySelectorAll('.tape a').length"), json!(2));
    phone.click(".tape a[href$='/pour']");
    phone.wait("document.querySelector('#told-remark')");
    look(&phone, "pour of the crew");
    // The session ends while something is being typed.
    let ben = store.person_called("Ben").expect("the folder is read").expect("Ben is there");
    store.end_sessions(ben.id).expect("the folder is written");
    phone.click("form.told-value:has(#told-remark) button, details:has(#told-remark) summary");
    send(
        &phone,
        &[("#told-remark", "gate is \"locked\" & <shut>")],
        "form.told-value:has(#told-remark) button",
    );
    // The entry waits on the phone, and the page asks to sign in.
    phone.wait("document.querySelector('#password')");
    look(&phone, "sign-in");
    send(&phone, &[("#name", "Ben"), ("#password", PASSWORD)], "main button.main");
    phone.wait("document.querySelector('.logged')?.textContent.includes('gate is \"locked\" & <shut>')");
    let job = server.app.shelf.ids().expect("the folder is read");
    let logged: Vec<_> = job
        .iter()
        .filter_map(|id| server.app.shelf.job(id).expect("the folder is read"))
        .flat_map(|state| state.log.clone())
        .collect();
    assert_eq!(logged.len(), 1, "{logged:?}");
    assert_eq!(logged[0].by, "Ben");
    phone.click(".logged button");
    phone.wait("!document.querySelector('.logged')");
    phone.go(&format!("{}me", server.url));
    look(&phone, "me");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
