//! A real browser with a real visitor's hands: it is driven as W3C WebDriver (Recommendation of 5
//! June 2018) has it, so clicks and keys arrive as a mouse and a keyboard send them.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::{Value, json};

/// The key that WebDriver calls so (table of normalised key values).
pub const TAB: char = '\u{E004}';
pub const ENTER: char = '\u{E007}';
pub const DOWN: char = '\u{E015}';

/// A browser under the hands of a test.
pub struct Driver {
    process: Child,
    session: String,
}

impl Driver {
    /// Starts one; none where none is asked for and none is there. `.ci/browser` installs it, and
    /// `OILPATH_BROWSER` names one, as `.ci/run` does: then it must work.
    pub fn start() -> Option<Driver> {
        let named = std::env::var("OILPATH_BROWSER").ok();
        let browser = named.clone().unwrap_or_else(|| "chromium".to_owned());
        let there = |program: &str| {
            let version = Command::new(program).arg("--version").output();
            version.is_ok_and(|out| out.status.success())
        };
        if named.is_none() && !(there(&browser) && there("chromedriver")) {
            eprintln!("no browser: run `.ci/browser` to have pages tested in one");
            return None;
        }
        let mut process = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver, which `.ci/browser` installs");
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let port = lines.find_map(|line| {
            let line = line.unwrap();
            let (_, port) = line.split_once("successfully on port ")?;
            Some(port.trim_end_matches('.').to_owned())
        });
        let driver = format!("http://127.0.0.1:{}", port.unwrap());
        // It stops where nobody reads what it says.
        std::thread::spawn(move || lines.for_each(drop));
        let path = Command::new("which").arg(&browser).output().unwrap();
        let path = String::from_utf8(path.stdout).unwrap();
        let wanted = json!({"capabilities": {"alwaysMatch": {
            "goog:chromeOptions": {
                "binary": path.trim(),
                "args": [
                    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
                    "--no-first-run", "--disable-background-networking",
                    "--disable-component-update", "--disable-sync", "--window-size=1280,900",
                ],
            },
            "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"},
        }}});
        let made = send(&format!("{driver}/session"), &wanted);
        let id = made["sessionId"].as_str().unwrap();
        Some(Driver {
            process,
            session: format!("{driver}/session/{id}"),
        })
    }

    fn post(&self, command: &str, body: &Value) -> Value {
        send(&format!("{}/{command}", self.session), body)
    }

    /// Opens a file, at a link within it.
    pub fn open(&self, page: &Path, link: &str) {
        let url = format!("file://{}#{link}", page.display());
        // Another link within a page that is open would not load it anew.
        self.post("url", &json!({"url": "about:blank"}));
        self.post("url", &json!({"url": url}));
    }

    /// Makes the window as narrow as a phone.
    pub fn narrow(&self) {
        let screen = json!({"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": true});
        let command = json!({"cmd": "Emulation.setDeviceMetricsOverride", "params": screen});
        self.post("goog/cdp/execute", &command);
    }

    /// What an expression of the page's own script language is.
    pub fn ask(&self, expression: &str) -> Value {
        let script = format!("return {expression}");
        self.post("execute/sync", &json!({"script": script, "args": []}))
    }

    /// The same as text.
    pub fn text(&self, expression: &str) -> String {
        match self.ask(expression) {
            Value::String(text) => text,
            other => other.to_string(),
        }
    }

    /// Clicks on the middle of the first element that a selector finds, scrolled into view.
    pub fn click(&self, selector: &str) {
        let element = self.element(selector);
        self.post(&format!("element/{element}/click"), &json!({}));
    }

    /// Types into an element.
    pub fn type_into(&self, selector: &str, text: &str) {
        let element = self.element(selector);
        self.post(&format!("element/{element}/value"), &json!({"text": text}));
    }

    /// Presses keys, one after the other, wherever the focus is.
    pub fn press(&self, keys: &[char]) {
        let press = |key: &char| {
            let act = |what: &str| json!({"type": what, "value": key.to_string()});
            [act("keyDown"), act("keyUp")]
        };
        let actions: Vec<Value> = keys.iter().flat_map(press).collect();
        let keyboard = json!({"type": "key", "id": "keyboard", "actions": actions});
        self.post("actions", &json!({"actions": [keyboard]}));
    }

    fn element(&self, selector: &str) -> String {
        let wanted = json!({"using": "css selector", "value": selector});
        let found = self.post("element", &wanted);
        // The one key of a web element reference.
        let id = found.as_object().and_then(|o| o.values().next());
        id.and_then(Value::as_str).unwrap().to_owned()
    }

    /// Checks that no script has failed, the page's policy has refused nothing, and nothing was
    /// asked for but the page itself.
    pub fn check_quiet(&self) {
        let log = self.post("se/log", &json!({"type": "browser"}));
        assert_eq!(log, json!([]));
        let events = self.post("se/log", &json!({"type": "performance"}));
        let mut loaded = 0;
        for event in events.as_array().unwrap() {
            let text = event["message"].as_str().unwrap();
            let event: Value = serde_json::from_str(text).unwrap();
            if event["message"]["method"] == "Network.requestWillBeSent" {
                let request = &event["message"]["params"]["request"];
                let url = request["url"].as_str().unwrap();
                assert!(url.starts_with("file:"), "{url}");
                loaded += 1;
            }
        }
        assert!(loaded > 0, "the page itself was loaded");
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // The browser ends with its session; what cannot be told any more is gone already.
        let _ = ureq::delete(&self.session).call();
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// Sends a command; gives the value it answers.
fn send(url: &str, body: &Value) -> Value {
    let agent = ureq::Agent::config_builder()
        .http_status_as_error(false)
        .build()
        .new_agent();
    let mut answer = agent.post(url).send(body.to_string()).unwrap();
    let text = answer.body_mut().read_to_string().unwrap();
    let answer: Value = serde_json::from_str(&text).unwrap();
    let value = answer["value"].clone();
    assert!(value["error"].is_null(), "{url} {body}: {value}");
    value
}
