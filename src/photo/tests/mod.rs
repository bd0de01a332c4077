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

pub(crate) fn jpeg(width: u32, height: u32) -> Vec<u8> {
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

/// Exif that says when the picture was taken: the big-endian form. Field by field after Exif 2.3, 4.6.2.
fn exif_at(time: &str) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01".to_vec();
    tiff.extend_from_slice(&[0x87, 0x69, 0, 4, 0, 0, 0, 1, 0, 0, 0, 26, 0, 0, 0, 0]);
    tiff.extend_from_slice(&[0, 1, 0x90, 0x03, 0, 2, 0, 0, 0, 20, 0, 0, 0, 44, 0, 0, 0, 0]);
    tiff.extend_from_slice(time.as_bytes());
    tiff.push(0);
    tiff
}

/// A JPEG that says when it was taken.
pub(crate) fn at_time(time: &str) -> Vec<u8> {
    let plain = jpeg(40, 20);
    let told = [b"Exif\0\0", &exif_at(time)[..]].concat();
    [&plain[..2], &segment(0xE1, &told), &plain[2..]].concat()
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

/// Left red, right blue, with a time, a maker and a position; written by libheif 1.23 and libwebp through
/// Pillow, and `tiles.heic` put together of four tiles and a turn, as telephones store a photograph.
const HEIC: &[u8] = include_bytes!("red-blue.heic");
const TILES: &[u8] = include_bytes!("tiles.heic");
const WEBP: &[u8] = include_bytes!("red-blue.webp");
const AVIF: &[u8] = include_bytes!("red-blue.avif");

fn is_near(pixel: [u8; 3], wanted: [u8; 3]) -> bool {
    pixel
        .iter()
        .zip(wanted)
        .all(|(is, wanted)| is.abs_diff(wanted) < 24)
}

#[test]
fn what_telephones_hand_on_is_drawn_anew_and_tells_nothing() {
    for (name, bytes, maker) in [("heic", HEIC, true), ("webp", WEBP, false)] {
        let says = |bytes: &[u8], told: &[u8]| bytes.windows(told.len()).any(|w| w == told);
        assert!(
            !maker || says(bytes, b"R. Quay") && says(bytes, b"2026:05:03"),
            "{name}"
        );
        let kept = clean(bytes).expect(name);
        assert_eq!(
            (kept.form, kept.width, kept.height),
            (Form::Jpeg, 64, 48),
            "{name}"
        );
        assert!(
            !says(&kept.bytes, b"R. Quay") && !says(&kept.bytes, b"Exif"),
            "{name}"
        );
        assert_eq!(clean(&kept.bytes), Ok(kept.clone()), "{name}");
        let shown = image::load_from_memory(&kept.bytes)
            .expect(name)
            .into_rgb8();
        assert!(is_near(shown.get_pixel(8, 24).0, [220, 30, 30]), "{name}");
        assert!(is_near(shown.get_pixel(56, 24).0, [30, 30, 220]), "{name}");
    }
}

#[test]
fn a_photograph_of_tiles_is_put_together_and_turned() {
    let kept = clean(TILES).expect("a picture");
    // 100 × 80, turned a quarter against the clock: what was left is below.
    assert_eq!((kept.width, kept.height), (80, 100));
    let shown = image::load_from_memory(&kept.bytes)
        .expect("drawn")
        .into_rgb8();
    assert!(
        is_near(shown.get_pixel(40, 90).0, [220, 30, 30]),
        "{:?}",
        shown.get_pixel(40, 90)
    );
    assert!(
        is_near(shown.get_pixel(40, 10).0, [30, 30, 220]),
        "{:?}",
        shown.get_pixel(40, 10)
    );
}

#[test]
fn a_form_is_known_by_its_bytes_and_what_is_not_read_says_what_to_do() {
    let brands = |of: &[&[u8; 4]]| {
        let size = u32::try_from(8 + 4 * (of.len() + 1)).expect("short");
        let (first, rest) = of.split_first().expect("a brand");
        [
            &size.to_be_bytes()[..],
            b"ftyp",
            &first[..],
            &[0; 4],
            &rest.iter().flat_map(|brand| **brand).collect::<Vec<u8>>(),
        ]
        .concat()
    };
    // ISO/IEC 23008-12, annex B, and the AVIF specification, 6: from memory.
    for (of, form) in [
        (brands(&[b"heic", b"mif1", b"heic"]), Some(Other::Heic)),
        (brands(&[b"heix"]), Some(Other::Heic)),
        (brands(&[b"mif1", b"heic"]), Some(Other::Heic)),
        (brands(&[b"mif1", b"avif", b"miaf"]), Some(Other::Avif)),
        (brands(&[b"avif"]), Some(Other::Avif)),
        (brands(&[b"isom", b"mp42"]), None),
        (b"RIFF\x04\0\0\0WEBP".to_vec(), Some(Other::Webp)),
        (b"RIFF\x04\0\0\0WAVE".to_vec(), None),
        // The version between the brands is none of them.
        (b"\0\0\0\x10ftypisomheic".to_vec(), None),
    ] {
        assert_eq!(Other::of(&of), form, "{of:?}");
        for cut in 0..of.len() {
            let _ = Other::of(&of[..cut]);
        }
    }
    assert_eq!(Other::of(AVIF), Some(Other::Avif));
    let told = clean(AVIF).expect_err("refused").to_string();
    assert_eq!(
        told,
        "is a picture in AVIF form, which is not read here; share or export it as JPEG, or set the camera to its most compatible form"
    );
    let told = clean(&brands(&[b"heic"])).expect_err("refused").to_string();
    assert!(told.starts_with("cannot be drawn"), "{told}");
}

#[test]
fn when_a_picture_was_taken_is_read_for_putting_in_order() {
    let told = |bytes: &[u8]| taken(bytes).map(|at| at.to_string());
    let at = at_time("2026:05:03 07:40:12");
    assert_eq!(told(&at).as_deref(), Some("2026-05-03 07:40:12"));
    assert_eq!(told(HEIC).as_deref(), Some("2026-05-03 07:40:12"));
    // As telephones write it beside a position: the directory of Exif's own fields is what counts.
    assert_eq!(told(&talkative(6)), None);
    assert_eq!(told(&jpeg(8, 8)), None);
    for time in [
        "    :  :     :  :  ",
        "0000:00:00 00:00:00",
        "2026:13:03 07:40:12",
        "2026:02:30 07:40:12",
        "2026:05:03 24:40:12",
        "2026-05-03 07:40:12",
        "+026:05:03 07:40:12",
        "2026:05:03 07:40:1\u{1b}",
    ] {
        assert_eq!(told(&at_time(time)), None, "{time}");
    }
    // Nothing of it is kept.
    let kept = clean(&at).expect("a picture").bytes;
    assert!(!kept.windows(10).any(|w| w == b"2026:05:03"));
    assert_eq!(told(&kept), None);
}

#[test]
fn exif_that_leads_astray_leads_nowhere() {
    let good = exif_at("2026:05:03 07:40:12");
    let told = |tiff: &[u8]| Tiff::of(tiff).and_then(|tiff| tiff.taken());
    assert!(told(&good).is_some());
    // Cut anywhere but behind the time, and every byte before the time turned into others.
    for cut in 0..good.len() - 1 {
        assert_eq!(told(&good[..cut]), None, "{cut}");
    }
    for at in 0..44 {
        for byte in [0, 1, 0x7F, 0xFF] {
            let mut spoilt = good.clone();
            spoilt[at] = byte;
            let _ = (
                told(&spoilt),
                Tiff::of(&spoilt).and_then(|tiff| tiff.orientation()),
            );
        }
    }
    // A directory that is its own, with more fields than there are bytes.
    let round = b"MM\0*\0\0\0\x08\xFF\xFF\x87\x69\0\x04\0\0\0\x01\0\0\0\x08";
    assert_eq!(told(round), None);
}

proptest! {
    /// Any bytes are a picture or an error, and what is kept passes again unchanged.
    #[test]
    fn no_bytes_are_too_much(
        change in prop::collection::vec((0usize..3000, any::<u8>()), 0..12),
        cut in 0usize..3000,
        form in 0usize..5,
    ) {
        let forms = [talkative(6), png(30, 20), HEIC.to_vec(), TILES.to_vec(), WEBP.to_vec()];
        let mut bytes = forms[form].clone();
        for (at, byte) in change {
            let length = bytes.len();
            bytes[at % length] = byte;
        }
        if cut % 3 == 0 {
            bytes.truncate(cut);
        }
        let _ = taken(&bytes);
        if let Ok(kept) = clean(&bytes) {
            prop_assert_eq!(clean(&kept.bytes), Ok(kept.clone()));
            let _ = scaled(&kept.bytes, 50);
        }
    }
}
