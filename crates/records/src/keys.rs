//! Under which key a record lies in a key-value store. The keys of one device sort by sequence number.

use crate::ids::{DeviceId, EntryId};

/// What the keys of all records begin with.
pub const ENTRY_PREFIX: &str = "boomwright/entry/";

/// What the keys of texts that came in unreadable begin with.
pub const ASIDE_PREFIX: &str = "boomwright/aside/";

/// The key of a record.
///
/// ```
/// # use records::keys::key_of;
/// assert_eq!(key_of("k3f9a2bc-17".parse()?), "boomwright/entry/k3f9a2bc-0000000017");
/// # Ok::<(), records::IdError>(())
/// ```
#[must_use]
pub fn key_of(id: EntryId) -> String {
    format!("{ENTRY_PREFIX}{}-{:010}", id.device, id.seq)
}

/// The entry that a key stands for, a second text under one id (`…~2`) included.
#[must_use]
pub fn id_of(key: &str) -> Option<EntryId> {
    let (device, seq) = base_of(key).strip_prefix(ENTRY_PREFIX)?.split_once('-')?;
    if seq.len() != 10 || !seq.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let seq = seq.parse().ok().filter(|seq| *seq > 0)?;
    Some(EntryId { device: device.parse().ok()?, seq })
}

/// The first and last possible key of a device, for a range query; the last key in it gives the last sequence number.
#[must_use]
pub fn range_of(device: DeviceId) -> (String, String) {
    (format!("{ENTRY_PREFIX}{device}-"), format!("{ENTRY_PREFIX}{device}-~"))
}

/// The key without `~2`, `~3` …
#[must_use]
pub fn base_of(key: &str) -> &str {
    match key.rsplit_once('~') {
        Some((base, n)) if !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()) => base,
        _ => key,
    }
}

/// Where a text can lie without overwriting another: at its key, or at `…~2`, `…~3`. `None` where it lies already.
pub fn free_key<'a>(key: &str, text: &str, at: impl Fn(&str) -> Option<&'a str>) -> Option<String> {
    let mut candidate = key.to_owned();
    let mut n = 2_u32;
    loop {
        match at(&candidate) {
            None => return Some(candidate),
            Some(there) if there == text => return None,
            Some(_) => candidate = format!("{key}~{n}"),
        }
        n += 1;
    }
}
