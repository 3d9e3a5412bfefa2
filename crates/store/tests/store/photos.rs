//! Photos.

use std::io::Read;

use store::{Kind, LARGEST_PHOTO, PhotoHash};

use super::*;

#[test]
fn a_photo_is_kept_under_its_hash() {
    let folder = folder();
    let store = open(&folder);
    let bytes = picture(200_000, 5);
    let hash = store.keep_photo(&bytes[..], Some(PhotoHash::of(&bytes)), now()).unwrap();
    assert_eq!(store.keep_photo(&bytes[..], None, now()).unwrap(), hash);
    drop(store);
    let store = open(&folder);
    assert_eq!(store.photo(hash).unwrap(), Some((bytes, "image/jpeg".into())));
    assert_eq!(store.photo(PhotoHash([1; 32])).unwrap(), None);
}

/// SHA-256 of "abc", FIPS 180-4 example [@fips-180-4].
#[test]
fn the_hash_is_sha_256() {
    let known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(PhotoHash::of(b"abc").text(), known);
}

/// Counts what is read of it.
struct Endless {
    read: usize,
    most: usize,
}

impl Read for Endless {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let count = into.len().min(self.most - self.read);
        into[..count].fill(9);
        if self.read == 0 {
            into[..3].copy_from_slice(&[0xff, 0xd8, 0xff]);
        }
        self.read += count;
        Ok(count)
    }
}

#[test]
fn a_photo_of_200_mb_is_refused_at_the_bound() {
    let folder = folder();
    let store = open(&folder);
    let mut endless = Endless { read: 0, most: 200_000_000 };
    assert_eq!(store.keep_photo(&mut endless, None, now()).unwrap_err().kind, Kind::Photo);
    assert!(endless.read < LARGEST_PHOTO + 100_000, "{} bytes were read", endless.read);
    let left = std::fs::read_dir(folder.path().join("photos")).unwrap().count();
    assert_eq!(left, 0);
    let just = picture(LARGEST_PHOTO, 1);
    assert!(store.keep_photo(&just[..], None, now()).is_ok());
}

#[test]
fn what_is_no_picture_or_not_whole_is_refused() {
    let folder = folder();
    let store = open(&folder);
    for bytes in [&b""[..], b"MZ\x90", b"<svg onload=alert(1)>", b"%PDF-1.7", &[0; 100]] {
        assert_eq!(store.keep_photo(bytes, None, now()).unwrap_err().kind, Kind::Photo);
    }
    let bytes = picture(1000, 1);
    let fault = store.keep_photo(&bytes[..999], Some(PhotoHash::of(&bytes)), now()).unwrap_err();
    assert_eq!(fault.kind, Kind::Photo);
}

#[test]
fn a_damaged_photo_is_told_and_an_interrupted_upload_cleared_away() {
    let folder = folder();
    let store = open(&folder);
    let hash = store.keep_photo(&picture(5000, 1)[..], None, now()).unwrap();
    let path = folder.path().join("photos").join(&hash.text()[..2]).join(hash.text());
    let mut bytes = std::fs::read(&path).unwrap();
    bytes[2500] ^= 1;
    std::fs::write(&path, bytes).unwrap();
    assert_eq!(store.photo(hash).unwrap_err().kind, Kind::Corrupt);
    // Sent again, it is whole again.
    store.keep_photo(&picture(5000, 1)[..], None, now()).unwrap();
    assert!(store.photo(hash).unwrap().is_some());
    drop(store);
    let part = folder.path().join("photos").join("00ff.part");
    std::fs::write(&part, b"half").unwrap();
    let _store = open(&folder);
    assert!(!part.exists());
}
