//! The papers read back: PDF by poppler, the calendar by icalendar.

use std::collections::BTreeSet;
use std::process::Command;

use house::{python, tree};
use papers::{Document, DocumentOptions, Language, Paper, Planned};
use pour::Job;
use pour::day::{Day, FloorOfDay, day};
use pour::plan::Plan;
use pour::rounds::Budget;
use serde_json::{Value, json};

struct Demo {
    job: Job,
    plan: Plan,
    day: Option<Day>,
}

fn demo(name: &str, change: impl Fn(&mut Job)) -> Demo {
    let text = tree::text(&tree::root().join("demo").join(name));
    let fetch = |name: &str| Ok(tree::text(&tree::root().join("demo").join(name)).into_bytes());
    let mut job = formats::read_job(&text, name, &fetch).report.value.expect("the demo reads");
    change(&mut job);
    let plan = pour::plan::plan(&job, 1).value.expect("the demo plans");
    let day = plan
        .forecast
        .as_ref()
        .and_then(|_| day(&[FloorOfDay { job: &job, plan: &plan }], 1, Budget::default()).value);
    Demo { job, plan, day }
}

impl Demo {
    fn planned(&self) -> Planned<'_> {
        Planned { job: &self.job, plan: &self.plan, day: self.day.as_ref() }
    }
    fn documents(&self, languages: &[Language], paper: Paper) -> Vec<Document> {
        papers::documents(self.planned(), &DocumentOptions { languages: languages.to_vec(), paper })
    }
}

const BOTH: [Language; 2] = [Language::English, Language::Spanish];

fn print(document: &Document) -> press::Printed {
    press::print(press::Copy { main: document.main, files: &document.files })
        .unwrap_or_else(|faults| panic!("{}: {faults:?}", document.name))
}

/// What a tool of poppler says of a PDF.
fn poppler(tool: &str, options: &[&str], pdf: &[u8]) -> String {
    let folder = tempfile::tempdir().expect("a folder for the PDF");
    let path = folder.path().join("a.pdf");
    std::fs::write(&path, pdf).expect("the folder takes a file");
    let mut command = Command::new(tool);
    command.args(options).arg(&path);
    if tool == "pdftotext" {
        command.arg("-");
    }
    let output = command.output().unwrap_or_else(|why| panic!("{tool}: {why}; ./check installs poppler"));
    assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
    // Poppler before 23 takes `Suspects` of a tagged PDF for a thing that it is not (ISO 32000-1, table 321: a boolean).
    let is_own = |line: &&str| !line.contains("Suspects object is wrong type (boolean)");
    let complaints: Vec<String> =
        String::from_utf8_lossy(&output.stderr).lines().filter(is_own).map(str::to_owned).collect();
    assert!(complaints.is_empty(), "{tool} complains: {complaints:?}");
    String::from_utf8(output.stdout).expect("poppler prints UTF-8")
}

/// The text on one line, without the chances to break in long words.
fn text(pdf: &[u8]) -> String {
    let text = poppler("pdftotext", &["-enc", "UTF-8"], pdf).replace('\u{200b}', "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether texts stand in this order.
fn assert_in_order(text: &str, parts: &[&str]) {
    let mut rest = text;
    for part in parts {
        let at = rest
            .find(part)
            .unwrap_or_else(|| panic!("`{part}` is not after what comes before it in: {text}"));
        rest = &rest[at + part.len()..];
    }
}

#[test]
fn every_document_of_every_demo_is_sound_on_both_papers() {
    let mut kinds = BTreeSet::new();
    for name in ["boat-shed.toml", "bakery-yard.toml", "patio.toml"] {
        let demo = demo(name, |_| ());
        for (languages, paper, size) in [
            (&BOTH[..1], Paper::Letter, "612 x 792 pts (letter)"),
            (&BOTH[1..], Paper::A4, "595.276 x 841.89 pts (A4)"),
            (&BOTH[..], Paper::Letter, "612 x 792 pts (letter)"),
        ] {
            for document in demo.documents(languages, paper) {
                let printed = print(&document);
                assert_eq!(printed, print(&document), "{name} {}: two settings differ", document.name);
                let about = poppler("pdfinfo", &[], &printed.pdf);
                assert!(about.contains(size), "{name} {}: {about}", document.name);
                assert!(about.contains(&format!("Pages:           {}\n", printed.pages)), "{about}");
                assert!(!about.contains("CreationDate"), "{about}");
                embedded(&poppler("pdffonts", &[], &printed.pdf));
                let text = text(&printed.pdf);
                assert!(text.contains(&demo.job.name), "{name} {}", document.name);
                assert!(!text.contains('\u{fffd}'), "{name} {}: a letter is missing", document.name);
                let most = match document.name {
                    "plant-order" => 1,
                    "crew-sheet" => 8,
                    _ => 4,
                };
                assert!((1..=most).contains(&printed.pages), "{name} {}: {}", document.name, printed.pages);
                kinds.insert(document.name);
            }
        }
    }
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), ["crew-sheet", "finishing-clock", "plant-order"]);
}

/// Every font of a list by `pdffonts` is embedded, as a subset, with a way back to letters.
fn embedded(list: &str) {
    let fonts: Vec<&str> = list.lines().skip(2).collect();
    assert!(!fonts.is_empty(), "{list}");
    for font in fonts {
        assert!(font.contains("NotoSans"), "{font}");
        assert_eq!(font.matches(" yes").count(), 3, "embedded, subset and unicode: {font}");
    }
}

#[test]
fn the_dispatcher_reads_amount_loads_times_and_questions_in_order() {
    let demo = demo("boat-shed.toml", |_| ());
    let order = &demo.plan.order;
    let volume = |v| basis::quantity::volume(v, demo.job.units);
    let text = text(&print(&demo.documents(&BOTH[..1], Paper::Letter)[0]).pdf);
    let loads: Vec<String> = order.loads.iter().map(|load| volume(*load)).collect();
    assert_in_order(
        &text,
        &[
            "Order for the ready-mix plant",
            "Boat shed floor",
            "Friday 2026-06-12",
            &volume(order.recommended.quantity),
            &loads.join(" + "),
            "Wanted on site",
            "7:00 am",
            "Mix",
            "4000 psi",
            "Site",
        ],
    );
    for load in &loads {
        assert!(text.contains(load.as_str()), "{load}");
    }
    // What the job does not state is asked, and no figure is made up.
    assert!(text.contains("Saturday or after hours"));
}

#[test]
fn the_crew_reads_every_pad_every_load_and_every_round() {
    let demo = demo("boat-shed.toml", |_| ());
    let text = text(&print(&demo.documents(&BOTH, Paper::Letter)[1]).pdf);
    for pad in &demo.plan.pads.pads {
        assert!(text.contains(&pad.reading.said(demo.job.rod)), "pad {}", pad.number);
    }
    for word in
        ["Crew sheet", "Hoja de la cuadrilla", "Rounds: who does what", "Pasadas", "helicóptero", "flotado"]
    {
        assert!(text.to_lowercase().contains(&word.to_lowercase()), "{word}");
    }
    for source in
        ["1926.1153, Table 1", "1926.601(b)(4)", "1926.651(b)", "1926.702(c)", "OSHA 3351", "NIOSH 96-118"]
    {
        assert!(text.contains(source), "{source}");
    }
    assert!(text.contains("Local codes and licensed design govern"));
    assert!(text.contains("no lo ha revisado un acabador nativo"), "Spanish is marked as awaiting review");
}

#[test]
fn without_weather_the_crew_is_told_to_go_by_the_boot() {
    let demo = demo("patio.toml", |_| ());
    let documents = demo.documents(&BOTH[..1], Paper::Letter);
    assert_eq!(documents.iter().map(|d| d.name).collect::<Vec<_>>(), ["plant-order", "crew-sheet"]);
    let crew = text(&print(&documents[1]).pdf);
    assert!(crew.contains("No weather was stated, so no times were figured."));
    assert!(text(&print(&documents[0]).pdf).contains("time not stated"));
    assert!(papers::appointments(demo.planned(), Language::English).is_empty(), "no time, no calendar");
}

/// A demo's quote by a book whose texts are changed, with its other ways.
fn quoted(demo: &Demo, change: impl Fn(&mut pour::price::RateBook), ways: &[&str]) -> pour::price::Quote {
    let text = tree::text(&tree::root().join("demo/rates/dollar.toml"));
    let mut book = formats::read_rates(text.as_bytes(), "dollar.toml").report.value.expect("the book reads");
    change(&mut book);
    let ways = ways.iter().map(|way| formats::read_way(way).expect("a way")).collect();
    let asked = pour::price::PriceOptions { seed: 1, budget: Budget { steps: 500, people_steps: 100 }, ways };
    let priced = pour::price::price(&demo.job, &book, &asked).value.expect("a price");
    pour::price::quote(&demo.job.name, &priced, &book).expect("no blanks")
}

fn quote_text(demo: &Demo, quote: &pour::price::Quote, languages: &[Language], paper: Paper) -> String {
    let options = DocumentOptions { languages: languages.to_vec(), paper };
    let printed = print(&papers::quote_sheet(demo.planned(), quote, &options));
    embedded(&poppler("pdffonts", &[], &printed.pdf));
    assert!(printed.pages <= 6, "{} pages", printed.pages);
    text(&printed.pdf)
}

/// The customer reads what is done, the price, the other ways with what differs, what is not included, the terms, and where to sign; in
/// either language, on either paper; and no word promises a floor without cracks or puddles.
#[test]
fn the_customer_reads_scope_price_ways_terms_and_signs() {
    let demo = demo("boat-shed.toml", |job| {
        if let Some(ordered) = &mut job.mix {
            ordered.mix.air = clock::mix::Air::Entrained(basis::Share::percent(6.0));
        }
    });
    let quote = quoted(&demo, |_| (), &["broom", "5 in, without poly"]);
    let money = |amount| basis::quantity::money(amount, quote.currency);
    let english = quote_text(&demo, &quote, &BOTH[..1], Paper::Letter);
    let [broom, deep] = [0, 1].map(|i| money(quote.ways[i].total));
    assert_in_order(
        &english,
        &[
            "Quote",
            "Boat shed floor",
            "What is done",
            "4000 psi",
            "Steel bars each way",
            "Joints sawn",
            "Price",
            &money(quote.total),
            "broom",
            "Broomed: rough",
            &broom,
            "5 in, without poly",
            "damp of the ground can come through",
            &deep,
            "What is not included",
            &quote.exclusions[0],
            "Terms",
            &quote.terms[0],
            "Keep the air",
            "the customer takes the risk",
            "some may still run elsewhere",
            "Shallow water may stand",
            "Signatures",
            "may be cancelled",
            "no legal advice",
            "Contractor",
        ],
    );
    for promise in ["no cracks", "crack-free", "crack free", "will not crack", "no puddles", "guarantee"] {
        assert!(!english.to_lowercase().contains(promise), "{promise}");
    }
    let spanish = quote_text(&demo, &quote, &BOTH[1..], Paper::A4);
    assert_in_order(&spanish, &["Cotización", "Lo que se hace", "A pagar", &broom, "Condiciones", "Firmas"]);
    assert!(spanish.contains("no lo ha revisado un acabador nativo"));
    let both = quote_text(&demo, &quote, &BOTH, Paper::Letter);
    assert!(both.contains("What is not included / Lo que no se incluye"), "{both}");
}

/// Terms, exclusions, ways and joints with markup, length, Hebrew, Arabic and emoji: as text, and the price stands.
#[test]
fn texts_of_the_rate_book_are_printed_and_never_obeyed() {
    let wild = r##"#panic("x") *b* _i_ $x$ @ref <label> `raw` = // \ #set page(width: 1pt) "q" ' [c] {d}"##;
    let texts = [
        wild.to_owned(),
        "בית המלאכה".to_owned(),
        "shed 👷🏽 漢字".to_owned(),
        "x".repeat(2_000),
        "word ".repeat(400),
    ];
    let demo = demo("boat-shed.toml", |job| {
        job.joints.wishes = vec![pour::job::JointWish {
            name: wild.to_owned(),
            wish: pour::job::Wish::KeepOff(vec![ground::P2::new(4.0, 1.0), ground::P2::new(4.5, 1.0)]),
            place: basis::Place::job(),
        }];
    });
    let mut quote = quoted(
        &demo,
        |book| {
            book.exclusions = texts.to_vec();
            book.terms = texts.to_vec();
        },
        &["broom"],
    );
    quote.ways[0].name = wild.to_owned();
    let shown = quote_text(&demo, &quote, &BOTH, Paper::A4);
    let letters = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).collect::<String>();
    let found = letters(&shown);
    for text in &texts {
        let wanted: String = letters(&press::printable(text)).chars().take(20).collect();
        assert!(found.matches(&wanted).count() >= 2, "{wanted} is not twice in {shown}");
    }
    assert!(shown.contains(&basis::quantity::money(quote.total, quote.currency)));
    let crew = &demo.documents(&BOTH, Paper::A4)[1];
    assert!(
        letters(&text(&print(crew).pdf)).contains("Nocutthroughpanicx"),
        "the joint's name on the crew sheet"
    );
}

#[test]
fn names_are_printed_and_never_obeyed() {
    let wild = r##"#panic("x") *b* _i_ $x$ @ref <label> `raw` = // \ #set page(width: 1pt) "q" ' [c] {d}"##;
    let names = [
        wild.to_owned(),
        "בית המלאכה".to_owned(),
        "مخزن القوارب".to_owned(),
        "Ñandú & Sons <b>".to_owned(),
        "shed 👷🏽 漢字".to_owned(),
        "x".repeat(10_000),
        "word ".repeat(2_000),
        "}}, \"order\": \"0 yd3\", {{".to_owned(),
        "\u{202e}reversed\u{202c} \u{0}\u{7}".to_owned(),
    ];
    for name in names {
        let demo = demo("patio.toml", |job| {
            job.name.clone_from(&name);
            job.stands[0].name.clone_from(&name);
        });
        let plain = demo.documents(&BOTH, Paper::A4);
        for document in plain {
            let printed = print(&document);
            assert!(printed.pages <= 9, "{}: {} pages", document.name, printed.pages);
            let shown = text(&printed.pdf);
            assert!(
                shown
                    .contains(&basis::quantity::volume(demo.plan.order.recommended.quantity, demo.job.units))
            );
            let wanted = press::printable(&name).replace('\u{200b}', "");
            let letters: String = wanted.chars().filter(|c| c.is_alphanumeric()).take(20).collect();
            let found: String = shown.chars().filter(|c| c.is_alphanumeric()).collect();
            // Poppler gives Arabic and Hebrew in the order of reading; Arabic letters may come as their joined shapes.
            let is_arabic = name.starts_with('\u{645}');
            assert!(is_arabic || found.contains(&letters), "{letters} is not in {shown}");
        }
    }
}

#[test]
fn air_under_a_trowel_is_a_choice_to_sign() {
    let demo = demo("boat-shed.toml", |job| {
        if let Some(ordered) = &mut job.mix {
            ordered.mix.air = clock::mix::Air::Entrained(basis::Share::percent(6.0));
        }
    });
    let documents = demo.documents(&BOTH, Paper::Letter);
    let choice = documents.iter().find(|d| d.name == "finish-choice").expect("both are asked for");
    let text = text(&print(choice).pdf);
    assert_in_order(
        &text,
        &[
            "hard trowel",
            "6.0 %",
            "Keep the air",
            "Leave the air out",
            "the customer takes the risk",
            "Signature",
        ],
    );
}

#[test]
fn icalendar_reads_the_calendar() {
    let demo = demo("boat-shed.toml", |job| {
        job.name = "Señor O'Hara's shed; bay, \"north\" \\ 2nd — ¡grande!".into()
    });
    let appointments = papers::appointments(demo.planned(), Language::Spanish);
    assert!(appointments.len() > demo.plan.order.loads.len(), "trucks and rounds");
    let events: Vec<formats::CalendarEvent> = appointments
        .iter()
        .map(|a| formats::CalendarEvent {
            uid: format!("{}@flatwright", a.key),
            start: a.start,
            end: a.end,
            summary: a.what.clone(),
            description: a.more.clone(),
        })
        .collect();
    let stamp = "2026-06-01T10:11:12Z".parse().expect("an instant");
    let answer =
        python::ask("calendar_file", &json!({"text": formats::calendar(&demo.job.name, stamp, &events)}));
    assert_eq!((&answer["version"], &answer["faults"]), (&json!("2.0"), &json!([])));
    let wanted: Vec<Value> = events
        .iter()
        .map(|event| {
            json!({
                "uid": event.uid, "stamp": "2026-06-01T10:11:12Z",
                "start": event.start.to_string(), "end": event.end.to_string(), "zone": "UTC",
                "summary": event.summary, "description": event.description,
            })
        })
        .collect();
    assert_eq!(answer["events"], Value::from(wanted));
    // 7:00 in Chicago in June is 12:00 in UTC.
    assert_eq!(answer["events"][0]["start"], json!("2026-06-12T12:00:00Z"));
    let uids: BTreeSet<&str> = events.iter().map(|event| event.uid.as_str()).collect();
    assert_eq!(uids.len(), events.len(), "no two events share a name");
}
