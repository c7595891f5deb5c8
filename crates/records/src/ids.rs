//! Names of devices, entries and documents, and their one text form. What they name lives in [`crate::Entry`].

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Digits of a device name: no `i`, `l`, `o`, `u`, so that it can be read aloud.
const DIGITS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// Largest sequence number: ten digits, so that storage keys sort as text.
pub const MAX_SEQ: u64 = 9_999_999_999;

/// A text that should be an id and is none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IdError {
    /// The text as found.
    pub found: String,
}

impl fmt::Display for IdError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "not an id: {}", self.found)
    }
}

/// One browser profile on one device: eight characters, drawn once at random.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId([u8; 8]);

impl DeviceId {
    /// From 40 random bits, which the caller draws; higher bits are ignored.
    ///
    /// ```
    /// # use records::DeviceId;
    /// // By hand: 31 is the last digit, z.
    /// assert_eq!(DeviceId::from_random(31).to_string(), "0000000z");
    /// ```
    #[must_use]
    pub fn from_random(bits: u64) -> Self {
        let mut text = [b'0'; 8];
        for (idx, digit) in text.iter_mut().rev().enumerate() {
            let five_bits = (bits >> (5 * idx)) & 31;
            *digit = DIGITS.get(usize::try_from(five_bits).unwrap_or(0)).copied().unwrap_or(b'0');
        }
        Self(text)
    }

    /// The eight characters.
    #[must_use]
    pub fn as_str(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or_default()
    }
}

impl FromStr for DeviceId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let bytes: [u8; 8] = text.as_bytes().try_into().map_err(|_| IdError { found: text.to_owned() })?;
        if bytes.iter().all(|b| DIGITS.contains(b)) {
            Ok(Self(bytes))
        } else {
            Err(IdError { found: text.to_owned() })
        }
    }
}

/// One entry: the device that wrote it and its place in that device's sequence. Written `k3f9a2bc-17`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId {
    /// Who wrote it.
    pub device: DeviceId,
    /// Its place in the device's sequence, 1 to [`MAX_SEQ`].
    pub seq: u64,
}

impl FromStr for EntryId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let error = || IdError { found: text.to_owned() };
        let (device, seq) = text.split_once('-').ok_or_else(error)?;
        let device = device.parse().map_err(|_| error())?;
        let seq = seq_from_text(seq).ok_or_else(error)?;
        Ok(Self { device, seq })
    }
}

/// Reads a sequence number: digits alone, no leading zero, within range.
pub(crate) fn seq_from_text(text: &str) -> Option<u64> {
    let plain = text.len() <= 10 && !text.starts_with('0') && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten().filter(|seq| (1..=MAX_SEQ).contains(seq))
}

/// What a document is.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A rig.
    Rig,
    /// A trial.
    Trial,
    /// A job: loads, closing balance.
    Job,
    /// A drive over the field, to look at before it is driven.
    Drive,
    /// A free note.
    Note,
    /// Readings that do not add up.
    Readings,
    /// A kind that a later program made. Kept and handed on.
    Other(String),
}

impl Kind {
    /// The word in an id.
    #[must_use]
    pub fn as_str(&self) -> &str {
        match self {
            Self::Rig => "rig",
            Self::Trial => "trial",
            Self::Job => "job",
            Self::Drive => "drive",
            Self::Note => "note",
            Self::Readings => "readings",
            Self::Other(word) => word,
        }
    }
}

impl FromStr for Kind {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let plain = (1..=16).contains(&text.len())
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        match text {
            "rig" => Ok(Self::Rig),
            "trial" => Ok(Self::Trial),
            "job" => Ok(Self::Job),
            "drive" => Ok(Self::Drive),
            "note" => Ok(Self::Note),
            "readings" => Ok(Self::Readings),
            _ if plain => Ok(Self::Other(text.to_owned())),
            _ => Err(IdError { found: text.to_owned() }),
        }
    }
}

/// One document: its kind and the entry that began it. Written `rig:k3f9a2bc-3`.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocId {
    /// What it is.
    pub kind: Kind,
    /// The entry that began it.
    pub begun_by: EntryId,
}

impl FromStr for DocId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let error = || IdError { found: text.to_owned() };
        let (kind, begun_by) = text.split_once(':').ok_or_else(error)?;
        let kind = kind.parse().map_err(|_| error())?;
        let begun_by = begun_by.parse().map_err(|_| error())?;
        Ok(Self { kind, begun_by })
    }
}

/// What an entry can point at.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reference {
    /// One entry.
    Entry(EntryId),
    /// A whole document, e.g. the trial that gave a number.
    Doc(DocId),
}

impl From<EntryId> for Reference {
    fn from(id: EntryId) -> Self {
        Self::Entry(id)
    }
}

impl From<DocId> for Reference {
    fn from(id: DocId) -> Self {
        Self::Doc(id)
    }
}

impl FromStr for Reference {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        if text.contains(':') { text.parse().map(Self::Doc) } else { text.parse().map(Self::Entry) }
    }
}

impl fmt::Display for DeviceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.device, self.seq)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Display for DocId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.kind, self.begun_by)
    }
}

impl fmt::Display for Reference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Entry(id) => id.fmt(f),
            Self::Doc(id) => id.fmt(f),
        }
    }
}

/// Reads an id from borrowed text, without a copy of it.
struct FromText<T>(PhantomData<T>);

impl<T: FromStr<Err = IdError>> de::Visitor<'_> for FromText<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an id")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }
}

/// Ids are text in stored records, and shown as their text when debugging.
macro_rules! text_form {
    ($($id:ident),+) => { $(
        impl fmt::Debug for $id {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }

        impl Serialize for $id {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $id {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str(FromText(PhantomData))
            }
        }
    )+ };
}

text_form!(DeviceId, EntryId, Kind, DocId, Reference);
