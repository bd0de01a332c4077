//! Names for files and folders.

/// The words of a text as a name that every file system takes: lower-case ASCII letters and digits
/// with hyphens between them, at most `longest` of these; words that do not fit are left out. It
/// may be empty.
pub fn plain_name(text: &str, longest: usize) -> String {
    let mut name = String::new();
    for word in text
        .to_lowercase()
        .split(|c: char| !c.is_ascii_alphanumeric())
    {
        let joint = usize::from(!name.is_empty());
        if !word.is_empty() && name.len() + joint + word.len() <= longest {
            if joint == 1 {
                name.push('-');
            }
            name.push_str(word);
        }
    }
    name
}
