//! Settings: who writes, glove size, copies out and in, what is set aside, how the app is kept on this device.

use crate::browser::files::{self, Chosen, Shared};
use crate::browser::offline::{Offline, OfflineCopy};
use crate::browser::{clock, persist};
use crate::components::choice::Choice;
use crate::components::field::{Field, Understood};
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::text::{settings, words};
use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use records::{Import, ImportPreview, Limits, export};

/// All settings.
#[component]
pub(crate) fn Settings() -> impl IntoView {
    let prefs = prefs();
    let w = &words().settings;
    let sizes = vec![("hand".to_owned(), w.hand.to_owned()), ("glove".to_owned(), w.glove.to_owned())];
    let size = Signal::derive(move || if prefs.glove.get() { "glove" } else { "hand" }.to_owned());
    view! {
        <h1>{w.title}</h1>
        <Field label=w.name hint=w.name_hint text=prefs.name understood=Signal::derive(Understood::default) words=true />
        <Choice legend=w.size options=sizes chosen=size on_choose=move |code| prefs.glove.set(code == "glove") />
        <CopyOut />
        <ReadIn />
        <SetAside />
        <KeptHere />
    }
}

/// Hands the whole book out as one text file, as a download or by the device's share sheet.
#[component]
fn CopyOut() -> impl IntoView {
    let (ledger, prefs) = (ledger(), prefs());
    let w = &words().settings;
    let failed = RwSignal::new(false);
    let copy = move || {
        let book = ledger.book_with_unsaved();
        let text = ledger.set_aside.with_untracked(|aside| export(&book, aside));
        let day: String = clock::now_iso().chars().take(10).collect();
        (format!("boomwright-book-{day}.txt"), text, book.len())
    };
    let download = move |_| {
        let (name, text, n_entries) = copy();
        let done = files::download(&name, &text);
        failed.set(!done);
        if done {
            prefs.copied.set(n_entries);
        }
    };
    let share = move |_| {
        let (name, text, n_entries) = copy();
        spawn_local(async move {
            let shared = files::share(&name, &text).await;
            failed.set(shared == Shared::Failed);
            if shared == Shared::Done {
                prefs.copied.set(n_entries);
            }
        });
    };
    let count = move || {
        let n = ledger.book.with(records::Book::len);
        (w.entries)(n, n.saturating_sub(prefs.copied.get()))
    };
    view! {
        <h2>{w.copies}</h2>
        <p>{count}</p>
        <div class="button-row">
            <button type="button" class="button button--main" on:click=download>{w.hand_out}</button>
            {files::can_share().then(|| view! { <button type="button" class="button" on:click=share>{w.share}</button> })}
        </div>
        {move || failed.get().then(|| view! { <p class="field__problem" role="alert">{w.hand_out_failed}</p> })}
    }
}

/// Reads a book in: shows what would change first, then applies it as one step.
#[component]
fn ReadIn() -> impl IntoView {
    let ledger = ledger();
    let w = &words().settings;
    let input = NodeRef::<html::Input>::new();
    let preview = RwSignal::new(None::<Result<ImportPreview, String>>);
    let done = RwSignal::new(String::new());
    let read = move |bytes: &[u8]| {
        let import = Import::read(bytes, Limits::default()).map_err(|p| settings::import_problem(&p))?;
        Ok(ledger
            .book
            .with_untracked(|book| ledger.set_aside.with_untracked(|aside| import.preview(book, aside))))
    };
    let chosen = move |_| {
        spawn_local(async move {
            let Some(input) = input.get_untracked() else { return };
            let most = Limits::default().bytes;
            let found = match files::chosen_text(&input, most).await {
                None => return,
                Some(Chosen::Text(text)) => read(text.as_bytes()),
                Some(Chosen::TooLarge) => Err(w.too_large.to_owned()),
                Some(Chosen::Unreadable) => Err(w.file_unreadable.to_owned()),
            };
            done.set(String::new());
            preview.set(Some(found));
        });
    };
    let apply = move |_| {
        let Some(Ok(found)) = preview.get_untracked() else { return };
        let records: Vec<_> = found.records().cloned().collect();
        let n = records.len();
        let aside = found.unreadable;
        let entries = move |_| {
            preview.set(None);
            done.set((w.taken_in)(n));
        };
        if aside.is_empty() {
            ledger.take_in_then(records, entries);
            return;
        }
        ledger.set_aside_then(aside, move |kept| {
            if !kept {
                preview.set(Some(Err(w.aside_not_kept.to_owned())));
            } else if n == 0 {
                entries(Vec::new());
            } else {
                ledger.take_in_then(records, entries);
            }
        });
    };
    let shown = move || {
        preview.get().map(|found| match found {
            Err(problem) => view! { <p class="field__problem" role="alert">{problem}</p> }.into_any(),
            Ok(found) => {
                let may = found.may_apply() && (found.records().next().is_some() || !found.unreadable.is_empty());
                let lines = ledger.book.with(|book| settings::preview_lines(&found, book));
                view! {
                    <div class="card">
                        <ul class="findings">{lines.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
                        <div class="button-row">
                            {may.then(|| view! { <button type="button" class="button button--main" on:click=apply>{w.take_in}</button> })}
                            <button type="button" class="button" on:click=move |_| preview.set(None)>{w.leave}</button>
                        </div>
                    </div>
                }
                .into_any()
            }
        })
    };
    view! {
        <h2>{w.read_in}</h2>
        <div class="field">
            <label class="field__label" for="read-in">{w.choose_file}</label>
            <input class="field__input field__input--words" id="read-in" type="file" accept=".txt,text/plain" node_ref=input on:change=chosen />
        </div>
        {shown}
        <p aria-live="polite">{done}</p>
    }
}

/// Texts that could not be read: kept as they are, handed out on request.
#[component]
fn SetAside() -> impl IntoView {
    let ledger = ledger();
    let w = &words().settings;
    let hand_out = move |_| {
        let text = ledger.set_aside.with_untracked(|aside| {
            aside.iter().map(|a| format!("{}\n{}\n\n", a.key, a.text)).collect::<String>()
        });
        // Where the browser will not, the button is still there to press again.
        files::download("boomwright-set-aside.txt", &text);
    };
    move || {
        let n = ledger.set_aside.read().len();
        (n > 0).then(|| {
            view! {
                <h2>{w.set_aside}</h2>
                <p>{(w.set_aside_count)(n)}</p>
                <button type="button" class="button" on:click=hand_out>{w.set_aside_out}</button>
            }
        })
    }
}

/// How the app and its data are kept on this device.
#[component]
fn KeptHere() -> impl IntoView {
    let w = &words().settings;
    let offline: Offline = expect_context();
    let kept = RwSignal::new(None::<bool>);
    spawn_local(async move { kept.set(persist::is_persistent().await) });
    let ask = move |_| spawn_local(async move { kept.set(persist::ask().await) });
    let copy = move || match offline.copy.get() {
        OfflineCopy::Ready => w.offline_ready,
        OfflineCopy::Preparing => w.offline_preparing,
        OfflineCopy::Failed => w.offline_failed,
        OfflineCopy::Impossible => w.offline_impossible,
    };
    view! {
        <h2>{w.on_device}</h2>
        <p role="status">{copy}</p>
        <p>{move || match kept.get() {
            Some(true) => w.persistent,
            Some(false) => w.not_persistent,
            None => w.persistence_unknown,
        }}</p>
        <Show when=move || kept.get() == Some(false)>
            <p><button type="button" class="button" on:click=ask>{w.ask_persist}</button></p>
        </Show>
        <p>{(w.version)(env!("CARGO_PKG_VERSION"))}</p>
    }
}
