//! Pictures made ours: read within bounds, turned upright, made smaller, and written anew with nothing but their pixels.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};

/// Longest side of what is kept, in pixels.
pub const LONGEST_SIDE: u32 = 2000;
/// Most pixels of what is sent, in millions: the finest cameras of phones have 50.
const MOST_PIXELS: u64 = 64;
/// Most memory that reading one may take, bytes.
const MOST_MEMORY: u64 = 400_000_000;
/// How finely it is written, of 100.
const QUALITY: u8 = 82;

/// The JPEG that is kept of a picture. Nothing of the old file is in it: no place, no time, no camera, no preview.
///
/// # Errors
/// Words for what is no picture, is of another kind, or too large.
pub fn made_ours(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let other = || "this is no picture that can be read: send a JPEG, PNG or WebP".to_owned();
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|_| other())?;
    if !matches!(reader.format(), Some(ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP)) {
        return Err(other());
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let broken = |_| "the picture is damaged, or did not come whole: send it again".to_owned();
    let mut decoder = reader.into_decoder().map_err(broken)?;
    // What it claims to be is looked at before any of it is unpacked.
    let (wide, high) = decoder.dimensions();
    let pixels = u64::from(wide) * u64::from(high);
    if pixels > MOST_PIXELS * 1_000_000 {
        let told = pixels / 1_000_000;
        return Err(format!(
            "the picture has {wide} by {high} pixels, {told} million; {MOST_PIXELS} million are taken"
        ));
    }
    let turned = decoder.orientation().map_err(broken)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(broken)?;
    if wide.max(high) > LONGEST_SIDE {
        picture = picture.thumbnail(LONGEST_SIDE, LONGEST_SIDE);
    }
    picture.apply_orientation(turned);
    let mut jpeg = Vec::new();
    let written = JpegEncoder::new_with_quality(&mut jpeg, QUALITY).encode_image(&picture.into_rgb8());
    written.map_err(|error| format!("the picture could not be written: {error}"))?;
    Ok(jpeg)
}

#[cfg(test)]
pub mod tests {
    use image::{ExtendedColorType, ImageEncoder as _, Rgb, RgbImage};

    use super::*;

    /// A JPEG, left half black, with the block of data about it that a phone writes: turned by a quarter, with a place.
    pub fn from_a_phone(wide: u32, high: u32) -> Vec<u8> {
        let picture = RgbImage::from_fn(wide, high, |x, _| Rgb([if x < wide / 2 { 0 } else { 255 }; 3]));
        let mut plain = Vec::new();
        JpegEncoder::new_with_quality(&mut plain, 90).encode_image(&picture).unwrap();
        // TIFF, most significant byte first: one entry for the orientation (6), one that leads to a place.
        let mut about = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x02".to_vec();
        about.extend(b"\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\x88\x25\0\x04\0\0\0\x01\0\0\0\x26\0\0\0\0");
        about.extend(b"\0\x01\0\x01\0\x02\0\0\0\x02N\0\0\0\0\0\0\0SECRETPLACE");
        let length = u16::try_from(about.len() + 2).unwrap().to_be_bytes();
        [&plain[..2], &[0xff, 0xe1], &length, &about, &plain[2..]].concat()
    }

    fn read(jpeg: &[u8]) -> RgbImage {
        image::load_from_memory_with_format(jpeg, ImageFormat::Jpeg).unwrap().into_rgb8()
    }

    #[test]
    fn a_picture_is_turned_upright_and_tells_nothing_but_its_pixels() {
        let sent = from_a_phone(60, 40);
        assert!(sent.windows(11).any(|part| part == b"SECRETPLACE"));
        let ours = made_ours(&sent).unwrap();
        let picture = read(&ours);
        assert_eq!(picture.dimensions(), (40, 60));
        // A quarter to the right: what was left is on top.
        assert!(picture.get_pixel(20, 5)[0] < 40 && picture.get_pixel(20, 55)[0] > 215);
        for word in [&b"Exif"[..], b"SECRETPLACE", b"ICC_PROFILE", b"http"] {
            assert!(!ours.windows(word.len()).any(|part| part == word));
        }
    }

    #[test]
    fn a_large_picture_is_made_smaller_in_its_proportions() {
        let ours = made_ours(&from_a_phone(3000, 1500)).unwrap();
        assert_eq!(read(&ours).dimensions(), (1000, 2000));
    }

    /// The head of a PNG that claims a side of 60,000 pixels is refused before anything is unpacked.
    #[test]
    fn a_bomb_is_refused_by_what_it_claims() {
        let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
        let mut head = b"IHDR".to_vec();
        head.extend(60_000_u32.to_be_bytes());
        head.extend(60_000_u32.to_be_bytes());
        head.extend([8, 2, 0, 0, 0]);
        png.extend(13_u32.to_be_bytes());
        png.extend(&head);
        png.extend(crc(&head).to_be_bytes());
        png.extend(b"\0\0\0\x08IDAT\x78\x9c\x63\x00\x00\x00\x01\x00\x00\x00\x00\x00");
        let told = made_ours(&png).unwrap_err();
        assert!(told.contains("3600 million"), "{told}");
    }

    /// The check of a PNG's pieces: the CRC of ISO 3309, bit by bit.
    fn crc(bytes: &[u8]) -> u32 {
        let step = |crc: u32, byte: &u8| {
            (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
                if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 }
            })
        };
        !bytes.iter().fold(u32::MAX, step)
    }

    #[test]
    fn what_is_no_picture_is_told() {
        // What was cut off in its pixels shows those that came; here not even its size did.
        let cut = &from_a_phone(400, 400)[..150];
        for bytes in [
            &b"this is a letter, renamed to photo.jpg"[..],
            b"",
            b"\xff\xd8\xff",
            b"GIF89a\x01\0\x01\0\0\0\0;",
            b"<svg/>",
            cut,
        ] {
            let told = made_ours(bytes).map(|_| ()).unwrap_err();
            assert!(told.contains("send"), "{told}");
        }
    }

    #[test]
    fn png_and_webp_are_taken_and_what_shines_through_is_not_lost() {
        let mut png = Vec::new();
        let encoder = image::codecs::png::PngEncoder::new(&mut png);
        encoder.write_image(&[10, 200, 30, 255], 1, 1, ExtendedColorType::Rgba8).unwrap();
        let ours = read(&made_ours(&png).unwrap());
        assert!(ours.get_pixel(0, 0)[1] > 150);
        let mut webp = Vec::new();
        let encoder = image::codecs::webp::WebPEncoder::new_lossless(&mut webp);
        encoder.encode(&[200, 10, 10], 1, 1, ExtendedColorType::Rgb8).unwrap();
        assert!(read(&made_ours(&webp).unwrap()).get_pixel(0, 0)[0] > 150);
    }
}
