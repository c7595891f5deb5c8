//! How one number is kept: the text as typed, the unit that stood beside it, and where it came from.
//! What the text means is worked out anew each time, in [`crate::fields`].

use crate::ids::DocId;

/// Where a number came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// Stamped on the part.
    Stamped,
    /// From the maker's sheet.
    Sheet,
    /// Measured on the rig.
    Measured,
    /// Proven by a trial.
    Proven {
        /// The day, ISO 8601, e.g. `2025-05-06`.
        on: String,
        /// The trial, where there is one in the book.
        trial: Option<DocId>,
    },
    /// Guessed.
    Guessed,
    /// A source that a later program wrote. Kept.
    Other(String),
}

/// A field as typed.
///
/// Stored as `source;unit;text`: the text comes last and is never escaped. Switching a display unit changes nothing here.
///
/// ```
/// # use records::{FieldValue, Source};
/// let value = FieldValue::new("12 ft 6 in").unit("ft").source(Source::Measured);
/// assert_eq!(value.to_stored(), "measured;ft;12 ft 6 in");
/// assert_eq!(FieldValue::from_stored("measured;ft;12 ft 6 in"), value);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldValue {
    /// As typed.
    pub text: String,
    /// Code of the unit beside the box, e.g. `ft`; `None` where there was none.
    pub unit: Option<String>,
    /// Where it came from; `None` where nobody said.
    pub source: Option<Source>,
}

impl FieldValue {
    /// Text alone.
    #[must_use]
    pub fn new(text: impl Into<String>) -> Self {
        Self { text: text.into(), unit: None, source: None }
    }

    /// With the code of the unit beside the box.
    #[must_use]
    pub fn unit(mut self, code: impl Into<String>) -> Self {
        self.unit = Some(code.into());
        self
    }

    /// With where it came from.
    #[must_use]
    pub fn source(mut self, source: Source) -> Self {
        self.source = Some(source);
        self
    }

    /// For an entry's `set`.
    #[must_use]
    pub fn to_stored(&self) -> String {
        let source = self.source.as_ref().map(Source::code).unwrap_or_default();
        let unit = self.unit.as_deref().unwrap_or_default();
        format!("{source};{unit};{}", self.text)
    }

    /// From an entry's `set`. Text that is not in the stored form is text without unit and source.
    #[must_use]
    pub fn from_stored(stored: &str) -> Self {
        let mut parts = stored.splitn(3, ';');
        let (Some(source), Some(unit), Some(text)) = (parts.next(), parts.next(), parts.next()) else {
            return Self::new(stored);
        };
        Self {
            text: text.to_owned(),
            unit: (!unit.is_empty()).then(|| unit.to_owned()),
            source: (!source.is_empty()).then(|| Source::from_code(source)),
        }
    }
}

impl Source {
    /// Stable text for storage: `stamped`, `sheet`, `measured`, `proven=2025-05-06=trial:k3f9a2bc-9`, `guessed`.
    #[must_use]
    pub fn code(&self) -> String {
        match self {
            Self::Stamped => "stamped".to_owned(),
            Self::Sheet => "sheet".to_owned(),
            Self::Measured => "measured".to_owned(),
            Self::Proven { on, trial: None } => format!("proven={on}"),
            Self::Proven { on, trial: Some(trial) } => format!("proven={on}={trial}"),
            Self::Guessed => "guessed".to_owned(),
            Self::Other(code) => code.clone(),
        }
    }

    /// Reads [`Self::code`]; what it does not know is kept as [`Self::Other`].
    #[must_use]
    pub fn from_code(code: &str) -> Self {
        let known = match code {
            "stamped" => Some(Self::Stamped),
            "sheet" => Some(Self::Sheet),
            "measured" => Some(Self::Measured),
            "guessed" => Some(Self::Guessed),
            _ => None,
        };
        known.or_else(|| proven(code)).unwrap_or_else(|| Self::Other(code.to_owned()))
    }
}

fn proven(code: &str) -> Option<Source> {
    let rest = code.strip_prefix("proven=")?;
    let (on, trial) = match rest.split_once('=') {
        Some((on, trial)) => (on, Some(trial.parse().ok()?)),
        None => (rest, None),
    };
    Some(Source::Proven { on: on.to_owned(), trial })
}
