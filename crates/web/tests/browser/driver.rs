//! A browser without a window, driven over the WebDriver protocol (W3C recommendation) with no more than a socket.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;

use serde_json::{Value, json};
use tempfile::TempDir;

/// How large the screen is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// 375 px wide, touched.
    Phone,
    /// 1280 px wide.
    Desk,
}

/// A browser with one page.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    profile: Arc<TempDir>,
}

/// Why these are needed: as root there is no sandbox; nothing of the browser's own may go out.
const FLAGS: &[&str] = &[
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--window-size=1280,860",
];

impl Browser {
    /// Starts a browser.
    ///
    /// # Panics
    /// When Chromium and its driver are not installed.
    pub fn start(screen: Screen) -> Self {
        Self::start_with(screen, Arc::new(tempfile::tempdir().expect("a folder for the browser")))
    }

    /// The folder in which it keeps what it knows, to be handed to another that starts after it.
    pub fn profile(&self) -> Arc<TempDir> {
        Arc::clone(&self.profile)
    }

    /// Starts a browser that knows what an earlier one knew.
    ///
    /// # Panics
    /// As [`Browser::start`].
    pub fn start_with(screen: Screen, profile: Arc<TempDir>) -> Self {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver starts: ./check installs chromium and chromium-driver");
        let told = BufReader::new(driver.stdout.take().expect("a pipe"));
        let mut port = None;
        for line in told.lines().map_while(Result::ok) {
            if let Some(at) = line.split("successfully on port ").nth(1) {
                port = at.trim_end_matches('.').parse().ok();
                break;
            }
        }
        let port = port.expect("chromedriver tells its port");
        let mut args: Vec<String> = FLAGS.iter().map(|flag| (*flag).to_owned()).collect();
        args.push(format!("--user-data-dir={}", profile.path().display()));
        let mut chrome = json!({ "binary": "/usr/bin/chromium", "args": args });
        if screen == Screen::Phone {
            let phone = json!({ "width": 375, "height": 740, "pixelRatio": 2.0, "touch": true });
            chrome["mobileEmulation"] = json!({ "deviceMetrics": phone });
        }
        let wanted = json!({
            "browserName": "chrome",
            "goog:chromeOptions": chrome,
            "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
        });
        let asked = json!({ "capabilities": { "alwaysMatch": wanted } });
        let mut browser = Self { driver, port, session: String::new(), profile };
        let session = browser.send("POST", "/session", &asked);
        browser.session = session["sessionId"].as_str().expect("a session").to_owned();
        browser
    }

    fn try_to_send(&self, method: &str, path: &str, body: &Value) -> Value {
        let mut socket = TcpStream::connect(("127.0.0.1", self.port)).expect("the driver listens");
        let body = body.to_string();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            body.len()
        );
        socket
            .write_all(head.as_bytes())
            .and_then(|()| socket.write_all(body.as_bytes()))
            .expect("it is sent");
        let mut answer = BufReader::new(socket);
        let mut length = 0;
        loop {
            let mut line = String::new();
            answer.read_line(&mut line).expect("an answer");
            if let Some(told) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = told.trim().parse().expect("a length");
            }
            if line.trim().is_empty() {
                break;
            }
        }
        let mut text = vec![0; length];
        answer.read_exact(&mut text).expect("the whole answer");
        let value: Value = serde_json::from_slice(&text).expect("JSON");
        value["value"].clone()
    }

    fn send(&self, method: &str, path: &str, body: &Value) -> Value {
        let value = self.try_to_send(method, path, body);
        assert!(
            value["error"].is_null() || value["message"].is_null(),
            "{method} {path}: {}",
            value["message"]
        );
        value
    }

    fn ask(&self, path: &str, body: &Value) -> Value {
        self.send("POST", &format!("/session/{}{path}", self.session), body)
    }

    /// Opens a page.
    pub fn go(&self, url: &str) {
        self.ask("/url", &json!({ "url": url }));
    }

    /// Runs a script in the page; `return` gives its value.
    pub fn run(&self, script: &str) -> Value {
        self.ask("/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// Runs a script that ends by calling its last argument.
    pub fn run_until_told(&self, script: &str) -> Value {
        self.ask("/execute/async", &json!({ "script": script, "args": [] }))
    }

    /// Waits until a script gives something true, for ten seconds at most.
    pub fn wait(&self, script: &str) {
        let script = format!("return Boolean({script})");
        for _ in 0..200 {
            if self.run(&script) == json!(true) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        panic!(
            "this never came: {script}\n{}",
            self.run("return document.body.innerText").as_str().unwrap_or("")
        );
    }

    /// The text of the first element that a selector finds.
    pub fn text(&self, selector: &str) -> String {
        let text =
            self.run(&format!("return document.querySelector({})?.textContent ?? ''", json!(selector)));
        text.as_str().unwrap_or_default().trim().to_owned()
    }

    /// Clicks the first element that a selector finds, as a finger would: it must be there to be hit.
    ///
    /// A page may put itself anew between the look and the tap; a person would tap again, and so does this.
    pub fn click(&self, selector: &str) {
        let mut told = Value::Null;
        for _ in 0..20 {
            let show =
                format!("document.querySelector({})?.scrollIntoView({{ block: 'center' }})", json!(selector));
            self.run(&show);
            let path = format!("/session/{}/element", self.session);
            let found =
                self.try_to_send("POST", &path, &json!({ "using": "css selector", "value": selector }));
            let id = found
                .as_object()
                .and_then(|o| o.get("element-6066-11e4-a52e-4f735466cecf"))
                .and_then(Value::as_str);
            told = match id {
                Some(id) => self.try_to_send("POST", &format!("{path}/{id}/click"), &json!({})),
                None => found.clone(),
            };
            if told.is_null() {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
        panic!("{selector} could not be tapped: {told}");
    }

    /// Unfolds a part of the page and clicks in it; a page that puts itself anew in between may have folded it again.
    pub fn click_in(&self, fold: &str, selector: &str) {
        let shown = format!("document.querySelector({})?.checkVisibility()", json!(selector));
        for _ in 0..20 {
            self.run(&format!("document.querySelector({})?.setAttribute('open', '')", json!(fold)));
            if self.run(&format!("return Boolean({shown})")) == json!(true) {
                let tap = format!("document.querySelector({})?.click()", json!(selector));
                self.run(&tap);
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
        panic!("{fold} does not show {selector}");
    }

    /// Presses keys one after the other on whatever has the focus.
    pub fn press(&self, keys: &str) {
        let actions: Vec<Value> = keys
            .chars()
            .flat_map(|key| {
                [json!({ "type": "keyDown", "value": key }), json!({ "type": "keyUp", "value": key })]
            })
            .collect();
        let keyboard = json!({ "type": "key", "id": "keyboard", "actions": actions });
        self.ask("/actions", &json!({ "actions": [keyboard] }));
    }

    /// Drags from the middle of the first element that a selector finds, by so many pixels.
    pub fn drag(&self, selector: &str, (right, down): (i64, i64)) {
        let middle = self.run(&format!(
            "const part = document.querySelector({}); part.scrollIntoView({{ block: 'center' }}); const b = part.getBoundingClientRect();
             return [Math.round(b.x + b.width / 2), Math.round(b.y + b.height / 2)]",
            json!(selector)
        ));
        let (x, y) = (middle[0].as_i64().unwrap_or(0), middle[1].as_i64().unwrap_or(0));
        let moves = json!([
            { "type": "pointerMove", "duration": 0, "x": x, "y": y },
            { "type": "pointerDown", "button": 0 },
            { "type": "pointerMove", "duration": 60, "x": x + right / 2, "y": y + down / 2 },
            { "type": "pointerMove", "duration": 60, "x": x + right, "y": y + down },
            { "type": "pointerUp", "button": 0 },
        ]);
        let mouse = json!({ "type": "pointer", "id": "mouse", "parameters": { "pointerType": "mouse" }, "actions": moves });
        self.ask("/actions", &json!({ "actions": [mouse] }));
    }

    /// Types into the first field that a selector finds; into a field for files, the path of one.
    pub fn type_in(&self, selector: &str, text: &str) {
        let path = format!("/session/{}/element", self.session);
        let found = self.send("POST", &path, &json!({ "using": "css selector", "value": selector }));
        let id = found["element-6066-11e4-a52e-4f735466cecf"].as_str().unwrap_or_default();
        self.send("POST", &format!("{path}/{id}/value"), &json!({ "text": text }));
    }

    fn log(&self, kind: &str) -> Vec<Value> {
        self.ask("/se/log", &json!({ "type": kind })).as_array().cloned().unwrap_or_default()
    }

    /// What the console told since it was last asked, but for mere information.
    pub fn complaints(&self) -> Vec<String> {
        let told = self.log("browser").into_iter();
        told.filter(|line| line["level"] != "INFO" && line["level"] != "DEBUG")
            .map(|line| line["message"].as_str().unwrap_or_default().to_owned())
            .collect()
    }

    /// Addresses that were asked for since it was last asked.
    pub fn requests(&self) -> Vec<String> {
        let told = self.log("performance").into_iter();
        told.filter_map(|line| serde_json::from_str::<Value>(line["message"].as_str()?).ok())
            .filter(|line| line["message"]["method"] == "Network.requestWillBeSent")
            .filter_map(|line| Some(line["message"]["params"]["request"]["url"].as_str()?.to_owned()))
            .collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let path = format!("/session/{}", self.session);
        if !std::thread::panicking() {
            self.send("DELETE", &path, &json!({}));
        } else if let Ok(mut socket) = TcpStream::connect(("127.0.0.1", self.port)) {
            let _ = socket.write_all(format!("DELETE {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n").as_bytes());
            let _ = socket.read(&mut [0; 512]);
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
