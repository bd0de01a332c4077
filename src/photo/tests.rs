use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, GenericImageView, ImageFormat, RgbImage};
use proptest::prelude::*;

use super::*;

/// A picture that is brighter to the right and redder downwards.
fn picture(width: u32, height: u32) -> DynamicImage {
    let pixel = |x, y| {
        let share = |at: u32, of: u32| u8::try_from(at * 255 / of.max(1)).expect("a byte");
        image::Rgb([share(y, height), share(x, width), 40])
    };
    RgbImage::from_fn(width, height, pixel).into()
}

fn jpeg(width: u32, height: u32) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut out, 90);
    encoder
        .encode_image(&picture(width, height).into_rgb8())
        .expect("encoded");
    out
}

fn png(width: u32, height: u32) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    picture(width, height)
        .write_to(&mut out, ImageFormat::Png)
        .expect("encoded");
    out.into_inner()
}

fn segment(marker: u8, body: &[u8]) -> Vec<u8> {
    let length = u16::try_from(body.len() + 2).expect("short");
    [&[0xFF, marker], &length.to_be_bytes()[..], body].concat()
}

/// Exif with which way up, and a position: the little-endian form that telephones write.
fn exif(orientation: u8) -> Vec<u8> {
    let mut tiff = b"II*\0\x08\0\0\0\x02\0".to_vec();
    tiff.extend_from_slice(&[0x12, 0x01, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0]);
    tiff.extend_from_slice(&[0x25, 0x88, 4, 0, 1, 0, 0, 0, 38, 0, 0, 0, 0, 0, 0, 0]);
    tiff.extend_from_slice(b"N 54 19 12.3 E 10 08 04.5");
    [b"Exif\0\0".as_slice(), &tiff].concat()
}

/// A JPEG as a camera leaves it, with all that it tells.
fn talkative(orientation: u8) -> Vec<u8> {
    let plain = jpeg(40, 20);
    let told = [
        segment(0xE1, &exif(orientation)),
        segment(0xE1, b"<x:xmpmeta/> 54 19"),
        segment(0xED, b"8BIM 54 19"),
        segment(0xFE, b"taken by R. Quay at 54 19"),
        segment(0xE2, b"ICC_PROFILE\0\x01\x01colours"),
    ]
    .concat();
    [&plain[..2], &told, &plain[2..], b"a second picture 54 19"].concat()
}

#[test]
fn a_camera_s_jpeg_keeps_its_pixels_and_loses_what_it_tells() {
    let before = talkative(6);
    let after = clean(&before).expect("a picture");
    assert_eq!(
        (after.form, after.width, after.height),
        (Form::Jpeg, 40, 20)
    );
    for told in [&b"54 19"[..], b"R. Quay", b"xmpmeta", b"8BIM"] {
        assert!(before.windows(told.len()).any(|w| w == told));
        assert!(
            !after.bytes.windows(told.len()).any(|w| w == told),
            "{told:?}"
        );
    }
    assert!(after.bytes.windows(7).any(|w| w == b"colours"));
    let pixels = |bytes: &[u8]| image::load_from_memory(bytes).expect("drawn").into_rgb8();
    assert_eq!(pixels(&before), pixels(&after.bytes));
    assert_eq!(clean(&after.bytes).expect("again"), after);
}

#[test]
fn which_way_up_it_is_held_stays_and_is_followed() {
    for (orientation, size) in [(1, (40, 20)), (3, (40, 20)), (6, (20, 40)), (8, (20, 40))] {
        let kept = clean(&talkative(orientation)).expect("a picture").bytes;
        let told = kept.windows(6).any(|w| w == b"Exif\0\0");
        assert_eq!(told, orientation != 1);
        let shown = scaled(&kept, 100).expect("drawn");
        let shown = image::load_from_memory(&shown).expect("drawn");
        assert_eq!(shown.dimensions(), size, "{orientation}");
    }
}

#[test]
fn a_png_keeps_its_pixels_and_loses_its_texts() {
    let plain = png(30, 20);
    let text = b"tEXtGPS\x0054 19";
    let length = u32::try_from(text.len() - 4).expect("short");
    let chunk = [
        &length.to_be_bytes()[..],
        text,
        &crc32fast::hash(text).to_be_bytes(),
    ]
    .concat();
    // Behind the header: signature 8, header 25.
    let told = [&plain[..33], &chunk, &plain[33..], b"more"].concat();
    let after = clean(&told).expect("a picture");
    assert_eq!(after.bytes, plain);
    assert_eq!((after.width, after.height), (30, 20));
}

#[test]
fn what_is_no_whole_picture_is_refused_by_what_is_wrong() {
    assert_eq!(clean(b""), Err(PhotoError::NotAPicture));
    assert_eq!(clean(b"GIF89a..."), Err(PhotoError::NotAPicture));
    let half = |bytes: Vec<u8>| clean(&bytes[..bytes.len() / 2]).expect_err("refused");
    for error in [half(jpeg(40, 20)), half(png(40, 20))] {
        assert_eq!(
            error.to_string(),
            "is damaged: it breaks off before its end"
        );
    }
    let mut spoilt = png(30, 20);
    spoilt[50] ^= 1;
    let told = clean(&spoilt).expect_err("refused").to_string();
    assert_eq!(told, "is damaged: a part of it fails its own check");
    let mut vast = jpeg(8, 8);
    let at = vast
        .windows(2)
        .position(|w| w == [0xFF, 0xC0])
        .expect("a frame");
    vast[at + 5..at + 9].fill(0xFF);
    let told = clean(&vast).expect_err("refused").to_string();
    assert_eq!(
        told,
        "has 65535 × 65535 pixels and the limit is 100 million; save it smaller"
    );
    assert!(scaled(&vast, 100).is_err());
}

#[test]
fn a_copy_has_the_long_side_asked_for_and_the_same_picture() {
    let small = scaled(&jpeg(800, 400), 200).expect("drawn");
    let small = image::load_from_memory(&small).expect("drawn");
    assert_eq!(small.dimensions(), (200, 100));
    let [red, green, _, _] = small.get_pixel(150, 75).0;
    assert!(
        red.abs_diff(191) < 12 && green.abs_diff(191) < 12,
        "{red} {green}"
    );
    let kept = scaled(&png(30, 20), 200).expect("drawn");
    assert_eq!(
        image::load_from_memory(&kept).expect("drawn").dimensions(),
        (30, 20)
    );
}

proptest! {
    /// Any bytes are a picture or an error, and what is kept passes again unchanged.
    #[test]
    fn no_bytes_are_too_much(
        change in prop::collection::vec((0usize..3000, any::<u8>()), 0..12),
        cut in 0usize..3000,
        form in any::<bool>(),
    ) {
        let mut bytes = if form { talkative(6) } else { png(30, 20) };
        for (at, byte) in change {
            let length = bytes.len();
            bytes[at % length] = byte;
        }
        if cut % 3 == 0 {
            bytes.truncate(cut);
        }
        if let Ok(kept) = clean(&bytes) {
            prop_assert_eq!(clean(&kept.bytes), Ok(kept.clone()));
            let _ = scaled(&kept.bytes, 50);
        }
    }
}
