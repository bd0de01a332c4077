//! What a machine cannot do is left out of the tests with the word SKIPPED, and by name. Where the
//! tests are the judge (`CI` is set) a thing left out is a failure, unless `ALLOW_SKIP` names it,
//! or is 1 for all.

/// Says loudly that something was not proved here.
///
/// # Panics
/// Where nothing may be left out.
#[track_caller]
pub fn skipped(name: &str, why: &str) {
    eprintln!("SKIPPED {name}: {why}");
    let variable = |name: &str| std::env::var(name).ok();
    assert!(
        may_skip(
            variable("CI").as_deref(),
            variable("ALLOW_SKIP").as_deref(),
            name
        ),
        "{name} was skipped, and here nothing may be left out but what ALLOW_SKIP names: {why}"
    );
}

/// Whether what is named may be left out, by the two variables.
pub fn may_skip(ci: Option<&str>, allowed: Option<&str>, name: &str) -> bool {
    let judge = ci.is_some_and(|ci| !matches!(ci, "" | "0" | "false"));
    let mut names = allowed.unwrap_or_default().split([' ', ',']);
    !judge || names.any(|allowed| allowed == "1" || allowed == name)
}
