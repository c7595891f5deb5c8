// What is stored survives what happens to storage: damage, a newer version's records, a full store, two tabs, a wipe.

import { expect, expectStarted, test, visitOnce } from "../../support/app.ts";
import { crc32 } from "../../support/crc32.ts";
import type { Page } from "@playwright/test";
import { readFileSync } from "node:fs";

const ENTRY = "boomwright/entry/";

async function saveNote(page: Page, text: string): Promise<void> {
  await page.getByLabel("Note", { exact: true }).fill(text);
  await page.getByRole("button", { name: "Save note" }).click();
  await expect(page.locator("[data-entry-id]").filter({ hasText: text }).first()).toBeVisible();
}

async function openBook(page: Page): Promise<void> {
  await visitOnce(page, "./#/book");
  await expect(page.getByLabel("Note", { exact: true })).toBeVisible();
}

const entries = (page: Page) =>
  page.evaluate(
    (prefix) => Object.entries(localStorage).filter(([key]) => key.startsWith(prefix)).sort(),
    ENTRY,
  );

test("a damaged text is set aside, handed out and left as it is", async ({ page }) => {
  await openBook(page);
  await saveNote(page, "before the damage");
  const key = `${ENTRY}k3f9a2bc-0000000001`;
  const damaged = '{"schema":1,"id":"k3f9a2bc-1","at":"2026';
  await page.evaluate(([k, t]) => localStorage.setItem(k, t), [key, damaged]);
  await page.reload();
  await expectStarted(page);
  await expect(page.getByRole("alert").filter({ hasText: "cannot be read" })).toBeVisible();
  await saveNote(page, "after the damage");
  expect(await page.evaluate((k) => localStorage.getItem(k), key)).toBe(damaged);
  await page.getByRole("link", { name: "See them" }).click();
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Hand them out as a file" }).click();
  expect(readFileSync(await (await download).path(), "utf8")).toContain(damaged);
});

test("records of a newer version are kept, and nothing is written beside them", async ({ page }) => {
  await openBook(page);
  await saveNote(page, "ours");
  const [[, ours]] = await entries(page);
  // The record of a later schema: the same text with another number and the checksum that belongs to it.
  const open = ours.slice(0, ours.lastIndexOf(',"sum":"')).replace('"schema":1', '"schema":99').replace(/"id":"[^"]*"/, '"id":"k3f9a2bc-7"');
  const newer = `${open},"sum":"${crc32(open)}"}`;
  await page.evaluate(([k, t]) => localStorage.setItem(k, t), [`${ENTRY}k3f9a2bc-0000000007`, newer]);
  await page.reload();
  await expectStarted(page);
  await expect(page.getByRole("alert").filter({ hasText: "newer version" })).toBeVisible();
  const before = await entries(page);
  await page.getByLabel("Note", { exact: true }).fill("must not be written");
  await page.getByRole("button", { name: "Save note" }).click();
  await expect(page.getByRole("status").filter({ hasText: "not saved yet" })).toBeVisible();
  expect(await entries(page)).toEqual(before);
});

test("a full quick store says so, loses nothing and can be handed out", async ({ page }) => {
  await openBook(page);
  await page.evaluate(() => {
    // Filled to the last kilobyte by something else on this origin.
    for (let size = 1 << 20; size >= 64; size >>= 1) {
      try {
        for (let n = 0; ; n += 1) localStorage.setItem(`someone-else/${size}/${n}`, "x".repeat(size));
      } catch {
        // No room for a piece of this size: go on with smaller ones.
      }
    }
  });
  await saveNote(page, "saved all the same");
  await expect(page.getByRole("alert").filter({ hasText: "full" })).toBeVisible();
  await page.getByRole("link", { name: "Hand out a copy" }).click();
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Hand out a copy of the book" }).click();
  expect(readFileSync(await (await download).path(), "utf8")).toContain("saved all the same");
  await page.evaluate(() => Object.keys(localStorage).filter((k) => k.startsWith("someone-else")).forEach((k) => localStorage.removeItem(k)));
  await page.goto("./#/book");
  await page.reload();
  await expectStarted(page);
  await expect(page.locator("[data-entry-id]").filter({ hasText: "saved all the same" })).toBeVisible();
});

test("two tabs lose nothing and take no number twice", async ({ page, context }) => {
  await openBook(page);
  const other = await context.newPage();
  await other.goto("./#/book");
  await expectStarted(other);
  const write = async (tab: Page, name: string) => {
    for (let n = 1; n <= 20; n += 1) await saveNote(tab, `${name} ${n}.`);
  };
  await Promise.all([write(page, "left"), write(other, "right")]);
  await page.reload();
  await expectStarted(page);
  const ids = await page.locator("[data-entry-id]").evaluateAll((rows) => rows.map((row) => row.getAttribute("data-entry-id")));
  expect(ids.length).toBe(40);
  expect(new Set(ids).size).toBe(40);
});

test("a book that was handed out comes back byte for byte after a wipe", async ({ page }) => {
  await openBook(page);
  await saveNote(page, "first");
  await saveNote(page, "second");
  const handOut = async () => {
    await page.goto("./#/settings");
    const download = page.waitForEvent("download");
    await page.getByRole("button", { name: "Hand out a copy of the book" }).click();
    return readFileSync(await (await download).path(), "utf8");
  };
  const first = await handOut();
  await page.evaluate(async () => {
    for (const key of Object.keys(localStorage)) if (key.startsWith("boomwright/")) localStorage.removeItem(key);
    for (const { name } of await indexedDB.databases()) if (name) indexedDB.deleteDatabase(name);
  });
  await page.reload();
  await expectStarted(page);
  await page.getByLabel("A file that was handed out").setInputFiles({ name: "book.txt", mimeType: "text/plain", buffer: Buffer.from(first) });
  await expect(page.getByText("2 new entries.")).toBeVisible();
  await page.getByRole("button", { name: "Take it in" }).click();
  await expect(page.getByRole("button", { name: "Take it in" })).toBeHidden();
  expect(await handOut()).toBe(first);
});
