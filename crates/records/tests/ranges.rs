//! Sets of sequence numbers against plain sets.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use records::{DeviceId, EntryId, SeqRanges};

fn both(seqs: &[u64]) -> (SeqRanges, BTreeSet<u64>) {
    let mut ranges = SeqRanges::default();
    for seq in seqs {
        ranges.insert(*seq);
    }
    (ranges, seqs.iter().copied().collect())
}

proptest! {
    #[test]
    fn ranges_hold_what_a_plain_set_holds(
        left in prop::collection::vec(1..40_u64, 0..40), right in prop::collection::vec(1..40_u64, 0..40)
    ) {
        let (ranges, plain) = both(&left);
        let (other_ranges, other_plain) = both(&right);
        for seq in 0..45 {
            prop_assert_eq!(ranges.contains(seq), plain.contains(&seq));
        }
        prop_assert_eq!(ranges.count(), plain.len() as u64);
        prop_assert_eq!(ranges.last(), plain.last().copied().unwrap_or(0));
        prop_assert_eq!(ranges.overlap(&other_ranges), plain.intersection(&other_plain).count() as u64);
        let mut union = ranges.clone();
        union.extend(&other_ranges);
        let all: Vec<u64> = plain.union(&other_plain).copied().collect();
        prop_assert_eq!(&union, &both(&all).0);
        prop_assert_eq!(SeqRanges::from_text(&union.to_string()), Some(union));
    }

    #[test]
    fn any_text_is_ranges_in_their_one_form_or_none(text in "[0-9,-]{0,14}") {
        if let Some(ranges) = SeqRanges::from_text(&text) {
            prop_assert_eq!(ranges.ranges().iter().map(|(a, b)| b - a + 1).sum::<u64>(), ranges.count());
            let again = ranges.to_string();
            prop_assert_eq!(SeqRanges::from_text(&again), Some(ranges));
        }
    }

    #[test]
    fn a_device_drawn_at_random_is_read_again(bits in any::<u64>(), seq in 1..10_000_000_000_u64) {
        let device = DeviceId::from_random(bits);
        prop_assert_eq!(device.to_string().parse::<DeviceId>(), Ok(device));
        let id = EntryId { device, seq };
        prop_assert_eq!(id.to_string().parse::<EntryId>(), Ok(id));
        let key = records::keys::key_of(id);
        prop_assert_eq!(records::keys::id_of(&key), Some(id));
        let beside = format!("{key}~2");
        prop_assert_eq!(records::keys::id_of(&beside), Some(id));
        let (from, to) = records::keys::range_of(device);
        prop_assert!(from < key && key < beside && beside < to);
    }
}
