//! From stored text to a record and back: checksum, schema, shape. Text that cannot be read is handed back whole.

use serde::Deserialize;
use serde_json::Value;

use crate::entry::{Entry, Record};

/// The schema that this program writes.
pub const CURRENT: u32 = 1;

/// `STEPS[n]` lifts schema `n + 1` to `n + 2`. Never edit a shipped one. Records are lifted when they are read; the
/// stored text stays as it was written.
const STEPS: &[Step] = &[];
const _: () = assert!(STEPS.len() + 1 == CURRENT as usize);

type Step = fn(Value) -> Result<Value, Reason>;

/// Longest stored text of one record, in bytes.
pub const MAX_RECORD_BYTES: usize = 256 * 1024;

/// What stands before the checksum, in this schema and in every later one.
const SUM_MARK: &str = ",\"sum\":\"";

/// Why a stored text is not a record.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Reason {
    /// The checksum does not fit: cut short or altered.
    Damaged,
    /// The checksum fits, and it is no JSON object in one line.
    NotJson,
    /// A member is missing or not in its form.
    Shape {
        /// What was found, in the words of the JSON reader. For a bug report, not for the screen.
        detail: String,
    },
    /// Written by a later program. It is whole; this program must not write beside it.
    Newer {
        /// Its schema.
        schema: u32,
    },
    /// Longer than [`MAX_RECORD_BYTES`].
    TooLong,
}

/// A text that could not be read, byte for byte.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// The text.
    pub text: String,
    /// Why.
    pub reason: Reason,
}

/// Reads one stored record.
///
/// # Errors
/// [`Unreadable`] with the whole text. The checksum is looked at first, so a damaged text never passes for a newer one.
pub fn read_record(text: &str) -> Result<Record, Unreadable> {
    match read_entry(text, STEPS) {
        Ok(entry) => Ok(Record::new(entry, text)),
        Err(reason) => Err(Unreadable { text: text.to_owned(), reason }),
    }
}

/// The stored text of an entry.
pub(crate) fn sealed(entry: &Entry) -> String {
    // Strings and numbers under text keys cannot fail to become JSON.
    let json = serde_json::to_string(entry).unwrap_or_default();
    let open = json.strip_suffix('}').unwrap_or(&json);
    format!("{open}{SUM_MARK}{:08x}\"}}", checksum(open))
}

/// CRC-32 as in IEEE 802.3 over the text before the checksum.
fn checksum(text: &str) -> u32 {
    const CRC: crc::Crc<u32, crc::Table<1>> = crc::Crc::<u32, crc::Table<1>>::new(&crc::CRC_32_ISO_HDLC);
    CRC.checksum(text.as_bytes())
}

#[derive(Deserialize)]
struct SchemaOnly {
    schema: u32,
}

fn read_entry(text: &str, steps: &[Step]) -> Result<Entry, Reason> {
    if text.len() > MAX_RECORD_BYTES {
        return Err(Reason::TooLong);
    }
    let (open, sum) =
        text.strip_suffix("\"}").and_then(|rest| rest.rsplit_once(SUM_MARK)).ok_or(Reason::Damaged)?;
    if sum != format!("{:08x}", checksum(open)) {
        return Err(Reason::Damaged);
    }
    if text.bytes().any(|b| b == b'\n' || b == b'\r') {
        return Err(Reason::NotJson);
    }
    let current = u32::try_from(steps.len() + 1).unwrap_or(u32::MAX);
    match serde_json::from_str::<Entry>(text) {
        Ok(entry) if entry.schema == current => checked(entry),
        first_try => {
            let found: SchemaOnly = serde_json::from_str(text).map_err(|e| shape_or_not_json(&e))?;
            if found.schema > current {
                return Err(Reason::Newer { schema: found.schema });
            }
            if found.schema == current || found.schema == 0 {
                return Err(first_try.map_or_else(
                    |e| shape_or_not_json(&e),
                    |_| Reason::Shape { detail: "schema 0".to_owned() },
                ));
            }
            let mut value: Value = serde_json::from_str(text).map_err(|e| shape_or_not_json(&e))?;
            for step in steps.iter().skip(usize::try_from(found.schema - 1).unwrap_or(usize::MAX)) {
                value = step(value)?;
            }
            checked(serde_json::from_value(value).map_err(|e| shape_or_not_json(&e))?)
        }
    }
}

/// What the types alone do not say.
fn checked(entry: Entry) -> Result<Entry, Reason> {
    // Nobody knew an entry before it was written.
    if entry.seen.last_of(entry.id.device) >= entry.id.seq {
        return Err(Reason::Shape { detail: "seen lists the entry itself".to_owned() });
    }
    Ok(entry)
}

fn shape_or_not_json(error: &serde_json::Error) -> Reason {
    match error.classify() {
        serde_json::error::Category::Data => Reason::Shape { detail: error.to_string() },
        _ => Reason::NotJson,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name_the_writer(mut value: Value) -> Result<Value, Reason> {
        let object = value.as_object_mut().ok_or(Reason::NotJson)?;
        if object.contains_key("reject") {
            return Err(Reason::Shape { detail: "rejected by a step".to_owned() });
        }
        object.entry("by").or_insert_with(|| "unknown".into());
        object.insert("schema".to_owned(), 2.into());
        Ok(value)
    }

    fn wider_seen(mut value: Value) -> Result<Value, Reason> {
        let object = value.as_object_mut().ok_or(Reason::NotJson)?;
        object.insert("schema".to_owned(), 3.into());
        Ok(value)
    }

    fn seal(open: &str) -> String {
        format!("{open}{SUM_MARK}{:08x}\"}}", checksum(open))
    }

    const OLD: &str =
        "{\"schema\":1,\"id\":\"k3f9a2bc-1\",\"at\":\"t\",\"doc\":\"note:k3f9a2bc-1\",\"set\":{}";

    #[test]
    fn steps_lift_an_old_record_one_after_the_other() {
        let entry = read_entry(&seal(OLD), &[name_the_writer, wider_seen]).unwrap();
        assert_eq!((entry.schema, entry.by.as_str()), (3, "unknown"));
        // One schema on, only the second step is left.
        let newer = OLD.replace("\"schema\":1", "\"schema\":2,\"by\":\"Ada\"");
        let entry = read_entry(&seal(&newer), &[name_the_writer, wider_seen]).unwrap();
        assert_eq!((entry.schema, entry.by.as_str()), (3, "Ada"));
    }

    #[test]
    fn a_step_that_cannot_lift_leaves_the_record_set_aside() {
        let reject = format!("{OLD},\"reject\":1");
        assert!(matches!(read_entry(&seal(&reject), &[name_the_writer]), Err(Reason::Shape { .. })));
    }

    // CRC-32/ISO-HDLC check value as published with the polynomial: CRC of "123456789" is cbf43926.
    #[test]
    fn the_checksum_is_the_published_one() {
        assert_eq!(checksum("123456789"), 0xcbf4_3926);
    }
}
