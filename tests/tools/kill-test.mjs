// Kills the whole browser at random moments while notes are being saved through the screen, opens it again, and looks whether
// every entry that was shown as saved is there, once, in order. Called by `cargo xtask kill-test`.
//
// The same is then done with the journal (IndexedDB) emptied at every start, so that only local storage is left: that must
// lose something. If it does not, this test cannot see a loss, and its good news is worth nothing.

import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { parseArgs } from "node:util";
import { chromium } from "playwright-core";
import { args, executablePath } from "../support/browser.mjs";
import { startSite } from "../support/server.mjs";

const { values } = parseArgs({ options: { kills: { type: "string" }, seed: { type: "string" } } });
const kills = Number(values.kills ?? 200);
const seed = Number(values.seed ?? Date.now() % 1_000_000);
const random = randomFrom(seed);

// Time from the first save to the kill. Short ones hit the first transaction after a start; in the long ones the browser is
// also busy writing out what came before.
const leastMs = 50;
const mostMs = 4_000;
const killsWithoutJournal = Math.min(kills, 5);
const database = "boomwright";

console.log(`  seed ${seed}`);
const site = await startSite();
let failed = false;
try {
  const real = await trial(kills, { journal: true });
  console.log(`  ${kills} kills, ${real.saved} entries shown as saved: ${real.lost.length} lost, ` +
    `${real.doubled} doubled, order ${real.ordered ? "kept" : "NOT kept"}`);
  if (real.lost.length > 0) console.log(`  lost: ${real.lost.join(" ")}`);
  if (real.saved < kills) console.log("  too few entries were saved for this to mean anything");
  failed = real.lost.length > 0 || real.doubled > 0 || !real.ordered || real.saved < kills;

  const poor = await trial(killsWithoutJournal, { journal: false });
  console.log(`  with local storage alone, ${killsWithoutJournal} kills: ${poor.lost.length} of ${poor.saved} lost`);
  if (poor.lost.length === 0) {
    console.log("  local storage alone lost nothing: this test does not see losses");
    failed = true;
  }
} finally {
  await site.stop();
}
process.exit(failed ? 1 : 0);

/** One profile, opened and killed again and again. */
async function trial(times, { journal }) {
  const profile = mkdtempSync(join(tmpdir(), "boomwright-kill-"));
  /** Ids shown as saved, oldest first. */
  let shownAsSaved = [];
  const result = { saved: 0, lost: [], doubled: 0, ordered: true };
  try {
    for (let round = 0; round <= times; round += 1) {
      const browser = await openBrowser(profile);
      const page = await openBook(browser, { journal });
      const listed = (await everyListed(page)).reverse();
      judge(listed, shownAsSaved, result);
      // What was lost is counted once; what came back unannounced (saved, but killed before it could say so) is kept from now on.
      shownAsSaved = listed;
      if (round < times) {
        const saved = await saveUntilKilled(page, browser, round);
        result.saved += saved.length;
        shownAsSaved = shownAsSaved.concat(saved);
      }
      await browser.kill();
      if (times >= 50 && round > 0 && round % 25 === 0) console.log(`  … ${round} kills, ${result.saved} entries`);
    }
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
  }
  return result;
}

function judge(listed, expected, result) {
  const there = new Set(listed);
  result.doubled += listed.length - there.size;
  result.lost.push(...expected.filter((id) => !there.has(id)));
  const known = new Set(expected);
  const inOrder = listed.filter((id) => known.has(id)).join();
  if (inOrder !== expected.filter((id) => there.has(id)).join()) result.ordered = false;
}

/** A browser in a process group of its own, so that one signal ends all of it at once. */
async function openBrowser(profile) {
  const child = spawn(
    executablePath,
    [...args, "--headless=new", "--remote-debugging-port=0", `--user-data-dir=${profile}`, "about:blank"],
    { detached: true, stdio: ["ignore", "ignore", "pipe"] },
  );
  const ended = new Promise((resolve) => child.once("exit", resolve));
  const address = await new Promise((resolve, reject) => {
    child.once("exit", (code) => reject(new Error(`the browser ended with ${code} before it was ready`)));
    createInterface(child.stderr).on("line", (line) => {
      const found = line.match(/^DevTools listening on (ws:.*)$/);
      if (found) resolve(found[1]);
    });
  });
  const browser = await chromium.connectOverCDP(address);
  return {
    context: browser.contexts()[0],
    async kill() {
      try {
        process.kill(-child.pid, "SIGKILL");
      } catch (error) {
        if (error.code !== "ESRCH") throw error;
      }
      await ended;
      await browser.close().catch(() => undefined);
    },
  };
}

async function openBook({ context }, { journal }) {
  const page = context.pages()[0] ?? (await context.newPage());
  page.setDefaultTimeout(30_000);
  if (!journal) await page.addInitScript((name) => void indexedDB.deleteDatabase(name), database);
  await page.goto(`${site.url}#/book`);
  await page.getByLabel("Note", { exact: true }).waitFor();
  return page;
}

/** Ids in the book, as the screen lists them: newest first. */
async function everyListed(page) {
  // Entries are read from the database after the form is there.
  await page.waitForTimeout(300);
  const more = page.getByRole("button", { name: /more/i });
  while ((await more.count()) > 0) await more.first().click();
  return page.locator("[data-entry-id]").evaluateAll((rows) => rows.map((row) => row.getAttribute("data-entry-id")));
}

/** Saves notes as fast as the screen takes them. An id counts when its row is there and the screen says "Saved". */
async function saveUntilKilled(page, browser, round) {
  const saved = [];
  let over = false;
  const wait = leastMs + random() * (mostMs - leastMs);
  const killed = new Promise((resolve) => setTimeout(resolve, wait)).then(() => {
    over = true;
    return browser.kill();
  });
  try {
    for (let n = 0; !over; n += 1) {
      const note = `round ${round} note ${n}`;
      await page.getByLabel("Note", { exact: true }).fill(note);
      await page.getByRole("button", { name: "Save note" }).click();
      await page.getByRole("status").filter({ hasText: "Saved" }).first().waitFor();
      const row = page.locator("[data-entry-id]").filter({ hasText: note }).first();
      const id = await row.getAttribute("data-entry-id");
      // Seen while the browser was alive, so the screen did say it.
      saved.push(id);
    }
  } catch (error) {
    if (!over) {
      await killed;
      throw error;
    }
  }
  await killed;
  return saved;
}

/** Same seed, same moments (mulberry32). */
function randomFrom(start) {
  let state = start | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
