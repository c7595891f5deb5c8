//! How long a start takes: reading and folding a book of ten thousand entries from two stores, and one more entry.
#![allow(missing_docs, clippy::unwrap_used)]

use std::hint::black_box;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use records::keys::key_of;
use records::{Book, DeviceId, Draft, EntryId, Import, Kind, Limits, Pair, Record, export, load};

const N: u64 = 10_000;

/// A season: a trial with three runs, a verdict and a new number, again and again on four rigs.
fn season() -> Vec<Record> {
    let device = DeviceId::from_random(1);
    let mut book = Book::default();
    let mut records = Vec::new();
    let mut write = |draft: Draft, book: &mut Book| {
        let record = draft.into_record(EntryId { device, seq: records.len() as u64 + 1 });
        book.apply(&record);
        records.push(record.clone());
        record.entry().doc.clone()
    };
    let new = |kind: Kind, book: &Book| Draft::new(kind, "2025-05-06T07:08:09Z", "Ada", book.seen());
    let rigs: Vec<_> = (0..4)
        .map(|_| {
            let draft = new(Kind::Rig, &book).set_all(records::examples::DITCH_BANK_TRUCK.iter().copied());
            write(draft, &mut book)
        })
        .collect();
    let mut n = 4;
    while n < N {
        let rig = &rigs[(n % 4) as usize];
        let draft = new(Kind::Trial, &book).set("kind", "meter").set("rig", rig.to_string());
        let trial = write(draft, &mut book);
        for _ in 0..3 {
            let draft = Draft::new(&trial, "2025-05-06T07:10:09Z", "Ada", book.seen());
            write(
                draft.set("run.+.indicated", "read;us_gal;5.2").set("run.+.actual", "read;us_gal;5"),
                &mut book,
            );
        }
        let draft = Draft::new(rig, "2025-05-06T07:20:09Z", "Ada", book.seen());
        write(draft.set("meter.number", "proven=2025-05-06;;311").because(trial), &mut book);
        n += 5;
    }
    records
}

fn benches(c: &mut Criterion) {
    let records = season();
    let pairs: Vec<Pair> = records.iter().map(|r| (key_of(r.id()), r.text().to_owned())).collect();
    let book = load(&pairs, &[]).book;
    let file = export(&book, &[]);
    c.bench_function("load 10 000 entries from two stores", |b| {
        b.iter(|| load(black_box(&pairs), black_box(&pairs)));
    });
    c.bench_function("apply one entry to a book of 10 000", |b| {
        let last = records.last().unwrap();
        let mut before = Book::default();
        for record in &records[..records.len() - 1] {
            before.apply(record);
        }
        b.iter_batched(
            || before.clone(),
            |mut book| {
                book.apply(black_box(last));
                book
            },
            BatchSize::LargeInput,
        );
    });
    c.bench_function("export 10 000 entries", |b| b.iter(|| export(black_box(&book), &[])));
    c.bench_function("read in 10 000 entries", |b| {
        b.iter(|| {
            Import::read(black_box(file.as_bytes()), Limits::default())
                .unwrap()
                .preview(&Book::default(), &[])
        });
    });
}

criterion_group!(all, benches);
criterion_main!(all);
