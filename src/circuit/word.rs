//! Enums whose variants are words of the circuit file.

/// An enum of words, for readers that take any.
pub(crate) trait Word: Copy + 'static {
    /// Every variant, in order.
    fn all() -> &'static [Self];
    /// The word for it.
    fn text(self) -> &'static str;
}

/// Gives an enum its list of variants, the word of each, and reading and showing by that word.
macro_rules! words {
    ($name:ident: $($variant:ident $word:literal,)*) => {
        impl $name {
            /// Every variant, in order.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];

            /// The word for it, as in a circuit file.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }
        }

        impl $crate::circuit::Word for $name {
            fn all() -> &'static [Self] {
                Self::ALL
            }

            fn text(self) -> &'static str {
                self.word()
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }

        #[cfg(feature = "cli")]
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "enum": [$($word),*] })
            }
        }

        impl std::str::FromStr for $name {
            type Err = ();

            fn from_str(word: &str) -> Result<Self, ()> {
                $name::ALL.iter().copied().find(|v| v.word() == word).ok_or(())
            }
        }
    };
}

pub(crate) use words;
