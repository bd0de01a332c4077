//! Pictures wherever a screen has them: one is looked at, or taken in by its path, the newest of the folder last
//! used offered beneath it.

use crate::photo::scale::drawn;
use crate::screen::complete::path_of;
use crate::screen::kind::{Asks, Cx};
use crate::screen::layers::files::Files;
use crate::screen::layers::{Drawn, Layer, LineInput};
use crate::text::safe_line;
use crate::walk::Photo;

/// What stands beneath the line in which the path of a picture is typed.
const HINT: &str = "the path of a picture (JPEG, PNG, HEIC, WebP); Tab completes it. The file itself stays as it is";
/// Pixels of a picture on a screen at the most: twice the columns of a page.
const LONGEST: u32 = 200;

/// What a picture shows, else its name.
pub fn shows(photo: &Photo) -> String {
    let caption = photo
        .caption
        .as_deref()
        .filter(|caption| !caption.is_empty());
    safe_line(caption.unwrap_or(&photo.path)).into_owned()
}

/// Shows a kept picture, or says why it cannot be shown.
pub fn look_at<A: Asks>(title: String, photo: &Photo, cx: &mut Cx<'_, A>) {
    let Some(kept) = &photo.kept else {
        return cx.warn("only its path is known; take it in to see it here");
    };
    let bytes = cx.book.photo(kept).map_err(|error| error.to_string());
    let pixels = bytes.and_then(|b| drawn(&b, LONGEST).map_err(|error| format!("it {error}")));
    match pixels {
        Ok(pixels) => {
            let drawn = Drawn::Picture(Box::new(pixels));
            cx.ask(Layer::page_with(title, vec![photo.words()], drawn));
        }
        Err(why) => cx.warn(why),
    }
}

/// Asks for the path of a picture. Where `passes`, Enter takes none before the arrow is moved to it;
/// `more` is said behind the hint.
pub fn ask_path<A: Asks>(
    title: String,
    more: &str,
    passes: bool,
    ask: A::Line,
    cx: &mut Cx<'_, A>,
) {
    let from = from(cx);
    let mut line = LineInput::new(title, format!("{HINT}{more}"), &from);
    let zone = *cx.book.now().offset();
    let files = Files::new(cx.pictures.taken().clone(), zone, passes);
    line.files = Some(Box::new(files));
    line.follow();
    cx.ask(Layer::Line(line, ask));
}

/// What is done with the one picture that stands here.
pub fn with_one<A: Asks>(title: String, photo: &Photo, ask: A::Pick, cx: &mut Cx<'_, A>) {
    let options = ["look at it", "take in another one for it", "take it off"];
    let options = options.map(str::to_owned).into();
    cx.ask(Layer::told(title, vec![photo.words()], options, ask));
}

/// The folder a picture is asked from, as it stands in the line.
pub fn from<A: Asks>(cx: &mut Cx<'_, A>) -> String {
    let place = cx.setup.marks.clone();
    cx.pictures.from(place.as_deref())
}

/// Takes a picture in by its path as typed, to be named by the record that follows.
///
/// # Errors
/// One sentence: what is wrong with the file, or why it cannot be kept.
pub fn take_in<A: Asks>(typed: &str, cx: &mut Cx<'_, A>) -> Result<Photo, String> {
    if typed.is_empty() {
        return Err("name a file; Esc leaves".into());
    }
    let path = path_of(typed);
    let photo = cx.book.keep_photo(&path, None).map_err(|e| e.to_string())?;
    let place = cx.setup.marks.clone();
    cx.pictures.took(typed, path, place.as_deref());
    Ok(photo)
}
