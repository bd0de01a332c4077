//! Records of which of each field the newest word stands: so two devices that told different things of
//! one thing add up, and an entry taken back gives back what it had replaced.

/// A record that says a few things of something on a machine: what it says them of, what it says, and
/// lists beside that, of which its own `take_lists` says what stands.
macro_rules! newest_word {
    (
        $(#[$about:meta])* $name:ident of {
            $(#[$of_doc:meta])* $of:ident,
            $(#[$machine_doc:meta])* machine $(,)?
        } says {
            $($(#[$doc:meta])* $field:ident: $ty:ty),+ $(,)?
        } lists {
            $($(#[$list_doc:meta])* $list:ident),+ $(,)?
        }
    ) => {
        $(#[$about])*
        #[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
        pub struct $name {
            $(#[$of_doc])*
            pub $of: String,
            $(#[$machine_doc])*
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub machine: Option<String>,
            /// When it was told.
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub at: At,
            $($(#[$doc])* #[serde(default, skip_serializing_if = "Option::is_none")] pub $field: Option<$ty>,)+
            $($(#[$list_doc])* #[serde(default, skip_serializing_if = "Vec::is_empty")] pub $list: Vec<String>,)+
            /// Fields that nobody knows any more, by their names here.
            #[serde(default, skip_serializing_if = "Vec::is_empty")]
            pub not_known: Vec<String>,
        }

        impl $name {
            /// The fields that say one thing, by name.
            pub const FIELDS: &'static [&'static str] = &[$(stringify!($field)),+];

            /// Nothing yet, of this one.
            pub fn of($of: &str, machine: Option<&str>) -> $name {
                $name {
                    $of: $of.to_owned(),
                    machine: machine.map(str::to_owned),
                    ..$name::default()
                }
            }

            /// True where it speaks of that one.
            pub fn is_of(&self, $of: &str, machine: Option<&str>) -> bool {
                self.$of == $of && self.machine.as_deref() == machine
            }

            /// What it says in a field; none where it says nothing there.
            pub fn value(&self, field: &str) -> Option<Value> {
                match field {
                    $(stringify!($field) => serde_json::to_value(self.$field.as_ref()?).ok(),)+
                    _ => None,
                }
            }

            /// True where it says that nobody knows.
            pub fn leaves_open(&self, field: &str) -> bool {
                self.not_known.iter().any(|name| name == field)
            }

            /// What stands once a later record has spoken.
            pub fn with(mut self, later: &$name) -> $name {
                $(if later.$field.is_some() {
                    self.$field.clone_from(&later.$field);
                } else if later.leaves_open(stringify!($field)) {
                    self.$field = None;
                })+
                self.take_lists(later);
                self
            }
        }
    };
}
pub(super) use newest_word;
