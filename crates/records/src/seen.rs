//! What a writer had seen when it wrote: sets of sequence numbers per device, written as ranges. With them two changes
//! of one number are told apart as "after" or "at the same time", and no clock decides.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::ids::{DeviceId, EntryId, seq_from_text};

/// A set of sequence numbers as sorted ranges that do not touch. Written `1-5,7,9-40`; empty for none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SeqRanges(Vec<(u64, u64)>);

impl SeqRanges {
    /// The numbers 1 to `last`; none for 0.
    #[must_use]
    pub fn up_to(last: u64) -> Self {
        if last == 0 { Self::default() } else { Self(vec![(1, last)]) }
    }

    /// Whether `seq` is in the set.
    #[must_use]
    pub fn contains(&self, seq: u64) -> bool {
        let after = self.0.partition_point(|(first, _)| *first <= seq);
        after.checked_sub(1).and_then(|idx| self.0.get(idx)).is_some_and(|(_, last)| seq <= *last)
    }

    /// Puts `seq` into the set.
    pub fn insert(&mut self, seq: u64) {
        self.insert_range(seq, seq);
    }

    /// Puts everything of `other` into the set.
    pub fn extend(&mut self, other: &Self) {
        for (first, last) in &other.0 {
            self.insert_range(*first, *last);
        }
    }

    /// How many numbers are in the set.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.0.iter().fold(0, |sum: u64, (first, last)| sum.saturating_add(last - first + 1))
    }

    /// The largest number, 0 for none.
    #[must_use]
    pub fn last(&self) -> u64 {
        self.0.last().map_or(0, |(_, last)| *last)
    }

    /// How many numbers are in both sets.
    #[must_use]
    pub fn overlap(&self, other: &Self) -> u64 {
        let (mut left, mut right) = (self.0.iter().peekable(), other.0.iter().peekable());
        let mut both = 0;
        while let (Some((first, last)), Some((other_first, other_last))) = (left.peek(), right.peek()) {
            let (from, to) = (first.max(other_first), last.min(other_last));
            if from <= to {
                both += to - from + 1;
            }
            if last < other_last {
                left.next()
            } else {
                right.next()
            };
        }
        both
    }

    /// The ranges, both ends included, ascending.
    #[must_use]
    pub fn ranges(&self) -> &[(u64, u64)] {
        &self.0
    }

    /// Reads [`Self`]'s text form. `None` where it is not in it: out of order, touching, out of range.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        let mut ranges: Vec<(u64, u64)> = Vec::new();
        if text.is_empty() {
            return Some(Self(ranges));
        }
        for part in text.split(',') {
            let (first, last) = match part.split_once('-') {
                Some((first, last)) => (seq_from_text(first)?, seq_from_text(last)?),
                None => (seq_from_text(part)?, seq_from_text(part)?),
            };
            let apart = ranges.last().is_none_or(|(_, before)| before + 1 < first);
            if !apart || last < first {
                return None;
            }
            ranges.push((first, last));
        }
        Some(Self(ranges))
    }

    /// The set without `end` and what lies above it.
    #[must_use]
    pub(crate) fn up_to_below(mut self, end: u64) -> Self {
        self.0.retain(|(first, _)| *first < end);
        if let Some(range) = self.0.last_mut() {
            range.1 = range.1.min(end - 1);
        }
        self
    }

    fn insert_range(&mut self, first: u64, last: u64) {
        // The usual case by far: the next number of the last range.
        if let Some(end) = self.0.last_mut()
            && end.1 + 1 == first
        {
            end.1 = last;
            return;
        }
        let from = self.0.partition_point(|(_, end)| end + 1 < first);
        let to = self.0.partition_point(|(start, _)| *start <= last + 1);
        let touched = self.0.get(from..to).unwrap_or_default();
        let first = touched.first().map_or(first, |(start, _)| first.min(*start));
        let last = touched.last().map_or(last, |(_, end)| last.max(*end));
        self.0.splice(from..to, [(first, last)]);
    }
}

impl fmt::Display for SeqRanges {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (idx, (first, last)) in self.0.iter().enumerate() {
            if idx > 0 {
                f.write_str(",")?;
            }
            if first == last { write!(f, "{first}")? } else { write!(f, "{first}-{last}")? }
        }
        Ok(())
    }
}

impl Serialize for SeqRanges {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for SeqRanges {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::from_text(&text).ok_or_else(|| de::Error::custom("not a list of ranges"))
    }
}

/// The entries that somebody knows.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Seen(pub(crate) BTreeMap<DeviceId, SeqRanges>);

impl Seen {
    /// Whether the entry is among them.
    #[must_use]
    pub fn contains(&self, id: EntryId) -> bool {
        self.0.get(&id.device).is_some_and(|ranges| ranges.contains(id.seq))
    }

    /// Adds an entry.
    pub fn insert(&mut self, id: EntryId) {
        self.0.entry(id.device).or_default().insert(id.seq);
    }

    /// Adds everything that somebody else knows.
    pub fn extend(&mut self, other: &Self) {
        for (device, ranges) in &other.0 {
            self.0.entry(*device).or_default().extend(ranges);
        }
    }

    /// What is known of one device.
    #[must_use]
    pub fn of(&self, device: DeviceId) -> Option<&SeqRanges> {
        self.0.get(&device)
    }

    /// Every device with what is known of it.
    pub fn iter(&self) -> impl Iterator<Item = (DeviceId, &SeqRanges)> {
        self.0.iter().map(|(device, ranges)| (*device, ranges))
    }

    /// Largest sequence number known of a device, 0 for none.
    #[must_use]
    pub fn last_of(&self, device: DeviceId) -> u64 {
        self.0.get(&device).map_or(0, SeqRanges::last)
    }
}
