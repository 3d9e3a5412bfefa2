//! Passwords: which are taken, and how they are kept.

use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};

/// Argon2id with 64 MiB, 3 passes and 4 lanes: the second recommended option of [@rfc9106], section 4, for where the first's
/// 2 GiB cannot be had. It is over three times the least that is advised for servers (19 MiB, 2 passes), and a laptop in a
/// truck has it to spare, twice at once.
const MEMORY_KIB: u32 = 64 * 1024;
const PASSES: u32 = 3;
const LANES: u32 = 4;

/// What is checked in place of the hash of somebody who is not there, so that an unknown name takes as long as a wrong password.
pub const NOBODYS: &str =
    "$argon2id$v=19$m=65536,t=3,p=4$bm9ib2R5bm9ib2R5bm9ibw$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";

/// Fewest letters of a password.
pub const SHORTEST: usize = 8;
/// Most bytes of a password: a sentence is well under it.
const LONGEST: usize = 256;

fn hasher() -> Result<Argon2<'static>, String> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, None).map_err(|error| error.to_string())?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

/// Hashes a password for keeping; takes some tenths of a second and 64 MiB.
///
/// # Errors
/// When the system has no memory or no randomness to give.
pub fn hash(password: &str) -> Result<String, String> {
    let hashed = hasher()?.hash_password(password.as_bytes());
    hashed.map(|hash| hash.to_string()).map_err(|error| format!("the password cannot be hashed: {error}"))
}

/// Whether a password is the one that was hashed; as slow as [`hash`].
#[must_use]
pub fn is(password: &str, hash: &str) -> bool {
    password.len() <= LONGEST
        && hasher().is_ok_and(|hasher| hasher.verify_password(password.as_bytes(), hash).is_ok())
}

/// Whether a password is taken for somebody of that name.
///
/// # Errors
/// Words that say what is wrong with it.
pub fn taken(password: &str, name: &str) -> Result<(), String> {
    let letters = password.chars().count();
    if letters < SHORTEST {
        return Err(format!(
            "a password has {SHORTEST} letters at least; three words that nobody would guess are easy to keep"
        ));
    }
    if password.len() > LONGEST {
        return Err(format!("a password has {LONGEST} bytes at most"));
    }
    if password.trim().to_lowercase() == name.trim().to_lowercase() {
        return Err("the name is no password".to_owned());
    }
    let mut all = password.chars();
    let first = all.next();
    if all.all(|letter| Some(letter) == first) {
        return Err("one letter over and over is no password".to_owned());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The parameters stand in the hash as the standard has them.
    #[test]
    fn a_password_is_kept_with_the_second_option_of_the_standard() {
        let kept = hash("wet slab at noon").unwrap();
        assert!(kept.starts_with("$argon2id$v=19$m=65536,t=3,p=4$"), "{kept}");
        assert!(is("wet slab at noon", &kept) && !is("wet slab at Noon", &kept));
        assert_ne!(kept, hash("wet slab at noon").unwrap(), "each has its own salt");
    }

    /// Nobody's hash is read and worked through like any other: what is no hash would be told at once.
    #[test]
    fn nobodys_hash_is_whole() {
        use argon2::password_hash::phc::PasswordHash;
        let kept = hash("wet slab at noon").unwrap();
        let (one, other) = (PasswordHash::new(NOBODYS).unwrap(), PasswordHash::new(&kept).unwrap());
        assert_eq!(
            (one.algorithm, one.version, &one.params),
            (other.algorithm, other.version, &other.params)
        );
        assert_eq!(one.hash.map(|hash| hash.as_bytes().len()), Some(32));
        assert!(!is("", NOBODYS) && !is("wet slab at noon", NOBODYS));
    }

    #[test]
    fn short_and_silly_passwords_are_not_taken() {
        for (password, name) in
            [("", "Ada"), ("1234567", "Ada"), ("Ada Mason ", "ada mason"), ("xxxxxxxxxx", "Ada")]
        {
            assert!(taken(password, name).is_err(), "{password}");
        }
        assert!(taken(&"x".repeat(300), "Ada").is_err());
        assert_eq!(taken("wet slab at noon", "Ada"), Ok(()));
        assert_eq!(taken("cemento y agua", "Ada"), Ok(()));
    }
}
