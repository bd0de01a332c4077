//! What colours and weights mean. Every style has a name for its purpose; four themes fill them.
//!
//! Colour never carries meaning alone: digits, words and the marks of [`crate::paint::glyphs`] stand with it.

use ratatui::style::{Color, Modifier, Style};

use crate::assess::words::{Risk, Verdict};
use crate::checklist::words::Grade;
use crate::paint::glyphs::Glyphs;
use crate::text::words;

words! {
    /// A theme.
    ThemeName, "theme" {
        /// The terminal's own foreground and background and its named colours; suits light and dark.
        Plain = "plain",
        /// Red on black and nothing else, to keep eyes used to the dark.
        Night = "night",
        /// White and yellow on black, bold.
        Contrast = "contrast",
        /// No colour: weight, underline and reversed only.
        Mono = "mono",
    }
}

/// A theme with the signs the terminal can show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Theme {
    /// Which theme.
    pub name: ThemeName,
    /// Which signs.
    pub glyphs: Glyphs,
}

/// What a style is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Role {
    Text,
    Quiet,
    Title,
    Key,
    Selected,
    Input,
    Mark,
    /// The ground of a region that means a rung.
    Shade(Grade),
    /// The five weights of bad news, from none to the worst.
    Rung(Grade),
}

impl Theme {
    /// The theme to use: the command line's, else the configuration's, else `mono` where the
    /// variable `NO_COLOR` is set and not empty (<https://no-color.org>) or `TERM` is `dumb`, else
    /// `plain`.
    pub fn choose(
        flag: Option<ThemeName>,
        config: Option<ThemeName>,
        no_color: Option<&str>,
        term: Option<&str>,
        glyphs: Glyphs,
    ) -> Theme {
        let no_color = no_color.is_some_and(|value| !value.is_empty());
        let colourless = no_color || term == Some("dumb");
        let own = if colourless {
            ThemeName::Mono
        } else {
            ThemeName::Plain
        };
        let name = flag.or(config).unwrap_or(own);
        Theme { name, glyphs }
    }

    /// Ordinary text, and the ground the whole screen is filled with.
    pub fn text(&self) -> Style {
        self.style(Role::Text)
    }

    /// What may be overlooked: units, hints, frames.
    pub fn quiet(&self) -> Style {
        self.style(Role::Quiet)
    }

    /// Headings and the name of the item.
    pub fn title(&self) -> Style {
        self.style(Role::Title)
    }

    /// A key to press.
    pub fn key(&self) -> Style {
        self.style(Role::Key)
    }

    /// The selected row. A sign stands before it as well.
    pub fn selected(&self) -> Style {
        self.style(Role::Selected)
    }

    /// Text being typed.
    pub fn input(&self) -> Style {
        self.style(Role::Input)
    }

    /// A caution, before the step it belongs to.
    pub fn caution(&self) -> Style {
        self.style(Role::Rung(Grade::Failing))
    }

    /// An error.
    pub fn error(&self) -> Style {
        self.style(Role::Rung(Grade::Failing))
    }

    /// What is done and safe on disk.
    pub fn saved(&self) -> Style {
        self.style(Role::Rung(Grade::Sound))
    }

    /// Progress bars and running times.
    pub fn progress(&self) -> Style {
        self.style(Role::Rung(Grade::Early))
    }

    /// Marks of earlier looks and of what is owed.
    pub fn mark(&self) -> Style {
        self.style(Role::Mark)
    }

    /// The signs that fill a region of a drawing which means a rung. They need not be read: words
    /// stand beside it.
    pub fn shade(&self, grade: Grade) -> Style {
        self.style(Role::Shade(grade))
    }

    /// A grade.
    pub fn grade(&self, grade: Grade) -> Style {
        self.style(Role::Rung(grade))
    }

    /// The mark of a grade standing alone: its colour without the lines and reversed grounds that
    /// would hide at which height the mark stands.
    pub fn grade_mark(&self, grade: Grade) -> Style {
        let style = self.grade(grade);
        let kept = style.add_modifier.intersection(Modifier::BOLD);
        Style {
            add_modifier: kept,
            ..style
        }
    }

    /// A risk.
    pub fn risk(&self, risk: Risk) -> Style {
        match risk {
            Risk::High => self.grade(Grade::Failed),
            Risk::Serious => self.grade(Grade::Failing),
            Risk::Medium => self.grade(Grade::Worn),
            Risk::Low => self.grade(Grade::Early),
            Risk::Eliminated => self.quiet(),
        }
    }

    /// A verdict.
    pub fn verdict(&self, verdict: Verdict) -> Style {
        self.grade(match verdict {
            Verdict::ClearToRun | Verdict::SignedOff => Grade::Sound,
            Verdict::NothingSeenAgainstStarting => Grade::Early,
            Verdict::RunWithCare | Verdict::SignedOffWithRecheck => Grade::Worn,
            Verdict::DoNotRun | Verdict::DoNotLeave | Verdict::NotSignedOff => Grade::Failed,
        })
    }

    fn style(&self, role: Role) -> Style {
        match self.name {
            ThemeName::Plain => plain(role),
            ThemeName::Night => night(role),
            ThemeName::Contrast => high_contrast(role),
            ThemeName::Mono => Style::new().add_modifier(weight(role)),
        }
    }
}

/// The weight of a role, the same in every theme, so that nothing hangs on colour.
fn weight(role: Role) -> Modifier {
    match role {
        Role::Text | Role::Rung(Grade::Sound | Grade::Early) => Modifier::empty(),
        Role::Quiet | Role::Shade(_) => Modifier::DIM,
        Role::Title | Role::Key | Role::Mark | Role::Rung(Grade::Failing) => Modifier::BOLD,
        Role::Selected => Modifier::REVERSED,
        Role::Input | Role::Rung(Grade::Worn) => Modifier::UNDERLINED,
        Role::Rung(Grade::Failed) => Modifier::BOLD.union(Modifier::REVERSED),
    }
}

/// The terminal's own ground, and of its named colours those that most palettes keep readable on
/// both light and dark. White, black, greys, yellow and blue are not among them.
fn plain(role: Role) -> Style {
    let style = Style::new().add_modifier(weight(role));
    match role {
        Role::Text
        | Role::Quiet
        | Role::Title
        | Role::Key
        | Role::Selected
        | Role::Input
        | Role::Mark => style,
        Role::Rung(grade) | Role::Shade(grade) => style.fg(match grade {
            Grade::Sound => Color::Green,
            Grade::Early => Color::Cyan,
            Grade::Worn => Color::Magenta,
            Grade::Failing | Grade::Failed => Color::Red,
        }),
    }
}

/// Light of the red gun only, and little of it: the full red is for what is pressed, what is selected and
/// what is going wrong. No ground is ever lit: what is reversed elsewhere is bold and underlined here.
fn night(role: Role) -> Style {
    let red = match role {
        Role::Shade(_) => 130,
        Role::Quiet => 184,
        Role::Text | Role::Input | Role::Rung(Grade::Sound | Grade::Early) => 210,
        Role::Title | Role::Key | Role::Selected | Role::Mark | Role::Rung(_) => 255,
    };
    let mut weight = weight(role);
    if weight.contains(Modifier::REVERSED) {
        weight = Modifier::BOLD.union(Modifier::UNDERLINED);
    }
    fixed(Color::Rgb(red, 0, 0), weight)
}

/// White and yellow on black. Yellow is for what is pressed and what is going wrong.
fn high_contrast(role: Role) -> Style {
    let yellow = matches!(
        role,
        Role::Key | Role::Rung(Grade::Worn | Grade::Failing | Grade::Failed)
    );
    let weight = match role {
        Role::Text | Role::Quiet | Role::Shade(_) => weight(role),
        _ => weight(role).union(Modifier::BOLD),
    };
    fixed(Color::Rgb(255, 255, if yellow { 0 } else { 255 }), weight)
}

/// A fixed colour on black. Dimming would undo its contrast.
fn fixed(colour: Color, weight: Modifier) -> Style {
    let weight = weight.difference(Modifier::DIM);
    Style::new()
        .fg(colour)
        .bg(Color::Rgb(0, 0, 0))
        .add_modifier(weight)
}

#[cfg(test)]
#[allow(clippy::panic, clippy::unwrap_used)]
pub(super) mod tests {
    use super::*;
    use crate::paint::contrast::contrast;

    pub const PLAIN: Theme = Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Unicode,
    };
    pub const ASCII: Theme = Theme {
        name: ThemeName::Mono,
        glyphs: Glyphs::Ascii,
    };

    fn roles() -> Vec<Role> {
        let own = [
            Role::Text,
            Role::Quiet,
            Role::Title,
            Role::Key,
            Role::Selected,
            Role::Input,
            Role::Mark,
        ];
        own.into_iter()
            .chain(Grade::ALL.iter().map(|g| Role::Rung(*g)))
            .chain(Grade::ALL.iter().map(|g| Role::Shade(*g)))
            .collect()
    }

    fn theme(name: ThemeName) -> Theme {
        Theme {
            name,
            glyphs: Glyphs::Unicode,
        }
    }

    #[test]
    fn fixed_pairs_can_be_read() {
        for name in [ThemeName::Night, ThemeName::Contrast] {
            for role in roles() {
                let style = theme(name).style(role);
                let (Some(Color::Rgb(r, g, b)), Some(Color::Rgb(red, green, blue))) =
                    (style.fg, style.bg)
                else {
                    panic!("{name} leaves {role:?} to the terminal");
                };
                // Reversed swaps the pair; the ratio is the same either way.
                let ratio = contrast((r, g, b), (red, green, blue));
                // WCAG 2, 1.4.3 for text and 1.4.11 for what need not be read. Eyes used to the dark
                // read at less, and full red on black has no more than 5.25.
                let least = match (name, role) {
                    (ThemeName::Night, Role::Shade(_)) => 1.7,
                    (ThemeName::Night, Role::Quiet) => 3.0,
                    (ThemeName::Night, _) => 3.7,
                    _ => 4.5,
                };
                assert!(ratio >= least, "{name} {role:?}: {ratio}");
                let is_lit = style.add_modifier.contains(Modifier::REVERSED);
                assert!(name != ThemeName::Night || !is_lit, "{role:?}");
                assert!(name != ThemeName::Night || (g, b, green, blue) == (0, 0, 0, 0));
                assert!(!style.add_modifier.contains(Modifier::DIM));
            }
        }
    }

    #[test]
    fn plain_keeps_to_colours_that_suit_light_and_dark() {
        for role in roles() {
            let style = theme(ThemeName::Plain).style(role);
            assert_eq!(style.bg, None);
            assert!(matches!(
                style.fg,
                None | Some(Color::Green | Color::Cyan | Color::Magenta | Color::Red)
            ));
        }
        assert!(
            theme(ThemeName::Plain)
                .selected()
                .add_modifier
                .contains(Modifier::REVERSED)
        );
    }

    #[test]
    fn mono_has_no_colour_but_tells_worse_grades_apart() {
        let mono = theme(ThemeName::Mono);
        assert!(
            roles()
                .iter()
                .all(|r| mono.style(*r).fg.is_none() && mono.style(*r).bg.is_none())
        );
        let worse = &Grade::ALL[1..];
        for pair in worse.windows(2) {
            assert_ne!(mono.grade(pair[0]), mono.grade(pair[1]));
        }
    }

    #[test]
    fn the_command_line_outranks_the_configuration_and_that_the_environment() {
        use ThemeName::{Contrast, Mono, Night, Plain};
        let choose = |flag, config, no_color, term| {
            Theme::choose(flag, config, no_color, term, Glyphs::Ascii).name
        };
        assert_eq!(choose(None, None, None, Some("xterm")), Plain);
        assert_eq!(choose(None, None, Some(""), None), Plain);
        assert_eq!(choose(None, None, Some("0"), None), Mono);
        assert_eq!(choose(None, None, Some("1"), Some("xterm")), Mono);
        assert_eq!(choose(None, None, None, Some("dumb")), Mono);
        assert_eq!(choose(None, Some(Night), Some("1"), Some("dumb")), Night);
        assert_eq!(
            choose(Some(Contrast), Some(Night), Some("1"), None),
            Contrast
        );
    }

    #[test]
    fn an_unknown_theme_is_told_which_there_are() {
        let error = "dark".parse::<ThemeName>().unwrap_err();
        assert_eq!(
            error,
            "'dark' is no theme; expected one of plain, night, contrast, mono"
        );
    }
}
