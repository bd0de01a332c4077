//! Enums whose spelling in files, on the command line and on screen is one table.

/// Declares an enum whose spelling in files, on the command line and on screen is one table.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident, $what:literal { $($(#[$vdoc:meta])* $variant:ident = $text:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        pub enum $name { $($(#[$vdoc])* #[serde(rename = $text)] $variant),+ }

        impl $name {
            /// Every value, in the order declared.
            pub const ALL: &'static [$name] = &[$($name::$variant),+];

            /// The spelling used in files, on the command line and in JSON.
            pub const fn as_str(self) -> &'static str {
                match self { $($name::$variant => $text),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.pad(self.as_str()) }
        }

        impl std::str::FromStr for $name {
            type Err = String;
            fn from_str(text: &str) -> Result<Self, String> {
                Self::ALL.iter().copied().find(|v| v.as_str() == text).ok_or_else(|| {
                    let known: Vec<_> = Self::ALL.iter().map(|v| v.as_str()).collect();
                    format!("'{text}' is no {}; expected one of {}", $what, known.join(", "))
                })
            }
        }
    };
}
pub(crate) use words;
