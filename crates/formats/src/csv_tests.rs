//! Files of shots: separators, units, quotes, faults with line and column, and many rows.

use crate::demo_tests::{BAKERY_SHOTS, BAKERY_WEATHER, BAKERY_YARD, rendered};
use crate::{Parsed, read_job};

fn read_with(csv: &[u8]) -> Parsed {
    read_job(BAKERY_YARD, "job.toml", &|name| match name {
        "bakery-yard-shots.csv" => Ok(csv.to_vec()),
        _ => Ok(BAKERY_WEATHER.as_bytes().to_vec()),
    })
}

/// Places of the first two shots, m, and their readings as told.
fn shots(csv: &str) -> Vec<(f64, f64, ground::survey::RodReading, String)> {
    let parsed = read_with(csv.as_bytes());
    let job = parsed.report.value.clone().unwrap_or_else(|| panic!("{}", rendered(&parsed)));
    let all = job.survey.setups.into_iter().flat_map(|setup| setup.shots);
    all.map(|shot| (shot.at.x, shot.at.y, shot.reading, shot.name)).collect()
}

#[test]
fn separators_units_quotes_and_line_ends_say_the_same() {
    let expected =
        shots("setup,name,x,y,reading,on\nmorning,1,4.25 m,2 m,1402 mm,base\nnoon,2,1 m,3 m,1500 mm,form\n");
    assert_eq!(expected.len(), 2);
    for csv in [
        "setup;name;x [m];y [m];reading [mm];on\nmorning;1;4.25;2;1402;base\nnoon;2;1;3;1500;form\n",
        "setup\tname\tx [m]\ty [m]\treading [mm]\ton\nmorning\t1\t4.25\t2\t1402\t\nnoon\t2\t1\t3\t1500\tform",
        "\u{feff}Setup, Name, X [cm], Y [cm], Reading [m], On\r\nmorning,1,425,200,1.402,base\r\n\r\nnoon,2,100,300,1.5,form\r\n",
        "\"setup\",\"name\",\"x\",\"y\",\"reading\",\"on\"\n\"morning\",\"1\",\"4.25 m\",\"2 m\",\"1402 mm\",\"base\"\nnoon,2,1 m,3 m,1500 mm,form\n",
        "on,reading,y,x,name,setup\nbase,1402 mm,2 m,4.25 m,1,morning\nform,1500 mm,3 m,1 m,2,noon\n",
    ] {
        let found = shots(csv);
        assert_eq!(found.len(), 2, "{csv}");
        for (found, expected) in found.iter().zip(&expected) {
            assert!((found.0 - expected.0).abs() < 1e-12 && (found.1 - expected.1).abs() < 1e-12, "{csv}");
            assert_eq!(found.3, expected.3, "{csv}");
        }
    }
}

#[test]
fn a_quoted_cell_may_hold_the_separator() {
    let found =
        shots("setup,name,x,y,reading\nmorning,\"by the drain, left \"\"edge\"\"\",1 m,1 m,1402 mm\n");
    assert_eq!(found[0].3, "by the drain, left \"edge\"");
}

#[test]
fn every_bad_cell_is_told_with_its_line_and_column() {
    let csv = "setup,name,x [m],y [m],reading [mm],on\n\
               morning,1,4.2x,2,1402,base\n\
               evening,2,4,2,1402,base\n\
               morning,3,4,2,,base\n\
               morning,4,4,2,1402,bse\n\
               morning,5,4,2\n\
               morning,6,4,nan,-5,base\n";
    let parsed = read_with(csv.as_bytes());
    assert!(parsed.report.value.is_none());
    let mut told: Vec<_> = parsed
        .report
        .notes
        .iter()
        .map(|note| {
            let at = parsed.source.locate(&note.place).and_then(|span| parsed.source.position(span));
            let at = at.expect("every fault has its place");
            assert_eq!(at.file, "bakery-yard-shots.csv");
            (at.line, at.column)
        })
        .collect();
    told.dedup();
    assert_eq!(told, [(2, 11), (3, 1), (4, 15), (5, 20), (6, 1), (7, 13), (7, 17)], "{}", rendered(&parsed));
}

#[test]
fn engine_places_lead_into_the_file() {
    let parsed = read_with(BAKERY_SHOTS.as_bytes());
    let span = parsed.source.locate(&basis::Place::at("survey.shots_file[2].reading")).expect("found");
    let at = parsed.source.position(span).expect("in a file");
    assert_eq!((at.file.as_str(), at.line, at.column), ("bakery-yard-shots.csv", 4, 21));
}

#[test]
fn files_that_are_no_shots_are_refused_with_a_reason() {
    for (csv, code) in [
        (&b""[..], "missing-column"),
        (b"name,x,y\n", "missing-column"),
        (b"x,y,reading,x\n", "double-name"),
        (b"x [stone],y,reading\n", "unknown-unit"),
        (b"x,y,redaing\n", "unknown-column"),
        (b"x,y,reading\n1 m,1 m,\xff\n", "not-utf-8"),
        (b"x,y,reading\n1 m,1 m,1400 mm\n", "unknown-setup"),
    ] {
        let parsed = read_with(csv);
        let codes: Vec<_> = parsed.report.notes.iter().map(|note| note.code).collect();
        assert!(codes.contains(&code), "{:?}: {codes:?}", String::from_utf8_lossy(csv));
        assert!(parsed.report.value.is_none());
    }
    let parsed = read_job(BAKERY_YARD, "job.toml", &|_| Err("no such file".to_owned()));
    assert_eq!(parsed.report.notes[0].code, "no-shots-file");
}

#[test]
fn a_hundred_thousand_rows_are_read_and_as_many_faults_are_counted() {
    let mut csv = String::from("setup,name,x [m],y [m],reading [mm],on\n");
    for row in 0..100_000 {
        csv.push_str(&format!("noon,{row},{}.5,3.25,{},base\n", row % 11, 1400 + row % 50));
    }
    assert_eq!(shots(&csv).len(), 100_000);
    let bad = csv.replace(",base\n", ",bass\n");
    let parsed = read_with(bad.as_bytes());
    assert_eq!(parsed.report.notes.len(), 101);
    assert!(parsed.report.notes.iter().any(|note| note.message.starts_with("99900 more")));
}
