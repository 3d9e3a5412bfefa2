//! Photos over the whole way: sent as a form, kept, shown.

use axum::body::Body;
use axum::http::{Request, StatusCode, header};

use super::picture::tests::from_a_phone;
use crate::people::tests::{Answer, House, field, house};

/// A form with a photo, as a browser sends it.
async fn send(house: &House, job: &str, photo: &[u8], words: &str) -> Answer {
    let page = house.get(&format!("/jobs/{}/pour", house.jobs[0]), "").await.text;
    let mut body = Vec::new();
    for (name, value) in
        [("event", field(&page, "event")), ("tick", field(&page, "tick")), ("words", words.to_owned())]
    {
        body.extend(
            format!("--xYz\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n").bytes(),
        );
    }
    body.extend(b"--xYz\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"../../x.jpg\"\r\n\r\n");
    body.extend(photo);
    body.extend(b"\r\n--xYz--\r\n");
    post(house, &format!("/jobs/{job}/photo"), Body::from(body)).await
}

async fn post(house: &House, path: &str, body: Body) -> Answer {
    let request = Request::post(path)
        .header(header::HOST, "localhost")
        .header(header::ACCEPT, "text/html")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=xYz");
    house.send(request.body(body).unwrap()).await
}

#[tokio::test]
async fn a_photo_is_kept_and_shown_with_the_log() {
    let house = house();
    let job = &house.jobs[0];
    let sent = send(&house, job, &from_a_phone(60, 40), "east <edge>").await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    let page = house.get(&format!("/jobs/{job}/pour"), "").await.text;
    assert!(page.contains("east &lt;edge&gt;"));
    let at = page.find(&format!("/jobs/{job}/photos/")).expect("the photo stands in the log");
    let path: String = page[at..].chars().take_while(|c| *c != '"').collect();
    let shown = house.get(&path, "").await;
    assert_eq!((shown.status, shown.header(header::CONTENT_TYPE)), (StatusCode::OK, "image/jpeg"));
    assert!(!shown.text.contains("SECRETPLACE") && !shown.text.contains("Exif"));
    // It is that job's, and no path leads elsewhere.
    let other = path.replace(job.as_str(), &house.jobs[1]);
    for strange in [
        other.as_str(),
        &format!("/jobs/{job}/photos/..%2f..%2fflatwright.db"),
        &format!("/jobs/{job}/photos/{}", "0".repeat(64)),
    ] {
        assert_eq!(house.get(strange, "").await.status, StatusCode::NOT_FOUND, "{strange}");
    }
}

#[tokio::test]
async fn what_is_no_photo_is_told_and_leaves_nothing() {
    let house = house();
    let job = house.jobs[0].clone();
    for (photo, words) in [(&b"a letter"[..], "no picture"), (b"", "no photo in it")] {
        let told = send(&house, &job, photo, "x").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.text.contains(words) && told.text.contains("Nothing was changed"), "{}", told.text);
    }
    let cut = post(&house, &format!("/jobs/{job}/photo"), Body::from("--xYz\r\nContent-Disp")).await;
    assert_eq!(cut.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(house.app.shelf.job(&job).unwrap().unwrap().log.is_empty());
    assert_eq!(send(&house, "none", &from_a_phone(4, 4), "x").await.status, StatusCode::NOT_FOUND);
}

/// 200 MB are read to their end and thrown away piece by piece; then it is told what is taken.
#[tokio::test]
async fn a_photo_of_200_mb_is_told_what_is_taken() {
    let house = house();
    let piece = axum::body::Bytes::from(vec![7; 1_000_000]);
    let pieces = tokio_stream::iter((0..200).map(move |_| Ok::<_, std::io::Error>(piece.clone())));
    let told = post(&house, &format!("/jobs/{}/photo", house.jobs[0]), Body::from_stream(pieces)).await;
    assert_eq!(told.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(told.text.contains("over 20 MB"), "{}", told.text);
}
