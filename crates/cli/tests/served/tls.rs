//! The machine's own authority: what it signed is looked through by another library (OpenSSL, through Python).

use std::process::Command;

use crate::http::ask;
use crate::{Served, told};

/// Asks a page over TLS, trusting one certificate only; prints the status, or why the certificate is not good.
const CLIENT: &str = r#"
import ssl, socket, sys
host, port, trusted, name = sys.argv[1], int(sys.argv[2]), open(sys.argv[3], "rb").read(), sys.argv[4]
context = ssl.create_default_context(cadata=trusted)
context.verify_flags |= ssl.VERIFY_X509_STRICT
try:
    with socket.create_connection((host, port), 10) as plain, context.wrap_socket(plain, server_hostname=name) as secure:
        secure.sendall(f"GET /sign-in HTTP/1.1\r\nHost: {name}:{port}\r\nAccept: text/html\r\nConnection: close\r\n\r\n".encode())
        print(secure.version(), secure.recv(12).decode())
except ssl.SSLCertVerificationError as error:
    print("not trusted:", error.verify_message)
"#;

fn asked(address: &str, certificate: &std::path::Path, name: &str) -> String {
    let (host, port) = address.rsplit_once(':').unwrap();
    let client = Command::new("python3")
        .args(["-c", CLIENT, host, port, certificate.to_str().unwrap(), name])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&client.stdout).into_owned();
    assert!(!said.is_empty(), "{}", String::from_utf8_lossy(&client.stderr));
    said.trim().to_owned()
}

#[test]
fn a_phone_that_trusts_the_authority_trusts_the_app_and_no_other_does() {
    let folders = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    let [ours, other] = folders.each_ref().map(|folder| {
        let data = folder.path().to_str().unwrap();
        told(&["people", "add", "Ada", "--role", "owner", "--data", data], "wet slab at noon");
        let served = Served::start(folder.path(), &["--own-authority", "--trust-port", "0"]);
        let page =
            served.hello.lines().find_map(|line| line.split("this machine once: http://").nth(1)).unwrap();
        let page = page.trim_end_matches('/').to_owned();
        let (status, certificate) = ask(&page, "GET", "/authority.crt", "").unwrap();
        assert_eq!(status, 200);
        let path = folder.path().join("taken.crt");
        std::fs::write(&path, certificate).unwrap();
        (served, path)
    });
    assert!(ours.0.hello.contains("The app is at https://127.0.0.1:"), "{}", ours.0.hello);
    let port = ours.0.address.rsplit_once(':').unwrap().1.to_owned();
    let here = format!("127.0.0.1:{port}");
    for name in ["127.0.0.1", "localhost"] {
        assert_eq!(asked(&here, &ours.1, name), "TLSv1.3 HTTP/1.1 200", "{name}");
    }
    let strange = asked(&here, &other.1, "127.0.0.1");
    assert!(strange.starts_with("not trusted"), "{strange}");
    let named = asked(&here, &ours.1, "bank.example");
    assert!(named.starts_with("not trusted") && named.contains("bank.example"), "{named}");
    // The same authority after a new start: the phone trusts once.
    let (served, certificate) = ours;
    drop(served);
    let again = Served::start(folders[0].path(), &["--own-authority", "--trust-port", "0"]);
    let port = again.address.rsplit_once(':').unwrap().1;
    assert_eq!(asked(&format!("127.0.0.1:{port}"), &certificate, "127.0.0.1"), "TLSv1.3 HTTP/1.1 200");
}
