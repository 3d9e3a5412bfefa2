//! The files of an authority.

use std::fs::{self, DirBuilder, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

use rcgen::KeyPair;

use super::{Authority, Terms};

/// The certificate (DER), the key (PEM), and what was settled (TOML).
const CERTIFICATE: &str = "authority.crt";
const KEY: &str = "authority.key";
const TERMS: &str = "authority.toml";

/// Where the authority of a folder stands.
pub fn folder_of(folder: &Path) -> PathBuf {
    folder.join("authority")
}

/// Reads what was written; nothing where there is none.
pub fn read(folder: &Path) -> Result<Option<Authority>, String> {
    let at = folder_of(folder);
    if !at.exists() {
        return Ok(None);
    }
    let broken = |what: &str| {
        format!(
            "{}: {what}; move that folder away, and a new authority is made, which every phone must then trust",
            at.display()
        )
    };
    let text =
        |name: &str| fs::read_to_string(at.join(name)).map_err(|why| broken(&format!("{name}: {why}")));
    let certificate =
        fs::read(at.join(CERTIFICATE)).map_err(|why| broken(&format!("{CERTIFICATE}: {why}")))?;
    let key = KeyPair::from_pem(&text(KEY)?).map_err(|_| broken("the key is damaged"))?;
    let terms = terms(&text(TERMS)?).ok_or_else(|| broken("what was settled is damaged"))?;
    Ok(Some(Authority { terms, certificate, key }))
}

fn terms(text: &str) -> Option<Terms> {
    let table: toml::Table = text.parse().ok()?;
    let word = |name: &str| table.get(name).and_then(toml::Value::as_str);
    let names = table.get("names")?.as_array()?;
    Some(Terms {
        called: word("called")?.to_owned(),
        made: word("made")?.parse().ok()?,
        until: word("until")?.parse().ok()?,
        names: names.iter().map(|name| name.as_str().map(str::to_owned)).collect::<Option<_>>()?,
    })
}

/// Writes an authority beside, then puts it in place as a whole; one that was there is put aside.
pub fn write(folder: &Path, authority: &Authority) -> Result<(), String> {
    let (at, new) = (folder_of(folder), folder.join("authority.new"));
    let failed = |path: &Path, why: &std::io::Error| format!("{}: {why}", path.display());
    if new.exists() {
        fs::remove_dir_all(&new).map_err(|why| failed(&new, &why))?;
    }
    let mut builder = DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(&new).map_err(|why| failed(&new, &why))?;
    let terms = &authority.terms;
    let mut settled = toml::Table::new();
    settled.insert("called".into(), terms.called.clone().into());
    settled.insert("made".into(), terms.made.to_string().into());
    settled.insert("until".into(), terms.until.to_string().into());
    settled.insert("names".into(), terms.names.clone().into());
    let whole = [
        (CERTIFICATE, authority.certificate.clone()),
        (KEY, authority.key.serialize_pem().into_bytes()),
        (TERMS, settled.to_string().into_bytes()),
    ];
    for (name, bytes) in whole {
        let path = new.join(name);
        secret_file(&path, &bytes).map_err(|why| failed(&path, &why))?;
    }
    if let Some(known) = read(folder).ok().flatten() {
        let aside = folder.join(format!("authority-until-{}", known.terms.until));
        fs::rename(&at, &aside).map_err(|why| failed(&aside, &why))?;
    }
    fs::rename(&new, &at).map_err(|why| failed(&at, &why))
}

/// A file that nobody but its owner reads, from its first byte on.
fn secret_file(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}
