//! What the settings say.

use super::words;
use records::{Book, DocChange, ImportPreview, ImportProblem, Kind};

pub(crate) struct SettingsWords {
    pub(crate) title: &'static str,
    pub(crate) name: &'static str,
    pub(crate) name_hint: &'static str,
    pub(crate) size: &'static str,
    pub(crate) hand: &'static str,
    pub(crate) glove: &'static str,
    pub(crate) copies: &'static str,
    pub(crate) entries: fn(all: usize, only_here: usize) -> String,
    pub(crate) hand_out: &'static str,
    pub(crate) share: &'static str,
    pub(crate) hand_out_failed: &'static str,
    pub(crate) read_in: &'static str,
    pub(crate) choose_file: &'static str,
    pub(crate) take_in: &'static str,
    pub(crate) leave: &'static str,
    pub(crate) taken_in: fn(n: usize) -> String,
    pub(crate) aside_not_kept: &'static str,
    pub(crate) file_unreadable: &'static str,
    pub(crate) rig_gains: fn(name: &str, begins: bool, n: usize) -> String,
    pub(crate) trials_gain: fn(new: usize, gaining: usize) -> String,
    pub(crate) new_entries: fn(n: usize) -> String,
    pub(crate) known_entries: fn(n: usize) -> String,
    pub(crate) clashing: fn(n: usize) -> String,
    pub(crate) unreadable: fn(n: usize) -> String,
    pub(crate) conflicts: fn(n: usize) -> String,
    pub(crate) not_whole: &'static str,
    pub(crate) missing: fn(n: u64) -> String,
    pub(crate) newer: &'static str,
    pub(crate) not_a_book: &'static str,
    pub(crate) too_large: &'static str,
    pub(crate) newer_form: &'static str,
    pub(crate) set_aside: &'static str,
    pub(crate) set_aside_count: fn(n: usize) -> String,
    pub(crate) set_aside_out: &'static str,
    pub(crate) on_device: &'static str,
    pub(crate) offline_ready: &'static str,
    pub(crate) offline_preparing: &'static str,
    pub(crate) offline_failed: &'static str,
    pub(crate) offline_impossible: &'static str,
    pub(crate) persistent: &'static str,
    pub(crate) not_persistent: &'static str,
    pub(crate) persistence_unknown: &'static str,
    pub(crate) ask_persist: &'static str,
    pub(crate) version: fn(version: &str) -> String,
}

/// What reading a file in would change, line by line.
pub(crate) fn preview_lines(found: &ImportPreview, book: &Book) -> Vec<String> {
    let w = &words().settings;
    let conflicts: usize = found.docs.iter().map(|doc| doc.conflicts.len()).sum();
    let mut lines = vec![(w.new_entries)(found.new.len()), (w.known_entries)(found.known)];
    let of = |kind: Kind| found.docs.iter().filter(move |change| change.doc.kind == kind);
    lines.extend(of(Kind::Rig).map(|change| {
        let name = rig_name(found, book, change);
        (w.rig_gains)(&name, change.begins, change.n_entries)
    }));
    let begun = of(Kind::Trial).filter(|change| change.begins).count();
    let gaining = of(Kind::Trial).count() - begun;
    if begun + gaining > 0 {
        lines.push((w.trials_gain)(begun, gaining));
    }
    for (n, text) in
        [(found.clashing.len(), w.clashing), (found.unreadable.len(), w.unreadable), (conflicts, w.conflicts)]
    {
        if n > 0 {
            lines.push(text(n));
        }
    }
    if !found.whole {
        lines.push(w.not_whole.to_owned());
    }
    if found.missing > 0 {
        lines.push((w.missing)(found.missing));
    }
    if !found.may_apply() {
        lines.push(w.newer.to_owned());
    }
    lines
}

/// A rig's name here, else the last one that the file gives it.
fn rig_name(found: &ImportPreview, book: &Book, change: &DocChange) -> String {
    let here = book.doc(&change.doc).and_then(|doc| doc.text("name"));
    let of_doc = || found.new.iter().map(records::Record::entry).filter(|entry| entry.doc == change.doc);
    let in_file = || of_doc().filter_map(|entry| entry.set.get("name")?.as_deref()).next_back();
    here.or_else(in_file).unwrap_or(words().rigs.unnamed).to_owned()
}

/// Why nothing of a file is read.
pub(crate) fn import_problem(problem: &ImportProblem) -> String {
    let w = &words().settings;
    match problem {
        ImportProblem::NotABook => w.not_a_book,
        ImportProblem::NewerForm { .. } => w.newer_form,
        _ => w.too_large,
    }
    .to_owned()
}
