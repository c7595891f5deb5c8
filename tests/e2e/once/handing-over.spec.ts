// The book between two devices: what a file brings is shown before it is taken in, what cannot be read in it is kept, two
// people who set one number are asked which holds; and the sheet fits one page of paper.

import { expect, expectStarted, test, visitOnce } from "../../support/app.ts";
import { crc32 } from "../../support/crc32.ts";
import type { Page } from "@playwright/test";
import { readFileSync } from "node:fs";

const TRUCK = /Quillmere ditch-bank truck/;

async function loadExamples(page: Page): Promise<void> {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await expect(page.getByRole("link", { name: TRUCK })).toBeVisible();
}

async function handOut(page: Page): Promise<string> {
  await page.goto("./#/settings");
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Hand out a copy of the book" }).click();
  return readFileSync(await (await download).path(), "utf8");
}

async function choose(page: Page, text: string): Promise<void> {
  await page.goto("./#/settings");
  const file = { name: "book.txt", mimeType: "text/plain", buffer: Buffer.from(text) };
  await page.getByLabel("A file that was handed out").setInputFiles(file);
}

async function setMeterNumber(page: Page, number: string): Promise<void> {
  await page.goto("./#/rig");
  await page.getByRole("link", { name: TRUCK }).click();
  await page.getByRole("heading", { name: "Flow meter" }).click();
  const box = page.getByRole("textbox", { name: "Meter number", exact: true });
  await box.fill(number);
  await box.press("Tab");
  await expect(page.getByRole("status").filter({ hasText: /^Saved$/ })).toBeVisible();
}

test("two people who set one number are asked which holds", async ({ page, browser, site, watch }) => {
  await loadExamples(page);
  const first = await handOut(page);

  const context = await browser.newContext({ baseURL: site.url });
  watch(context);
  const other = await context.newPage();
  await visitOnce(other, "./#/settings");
  await other.getByLabel("Your name").fill("Ben");
  await choose(other, first);
  await expect(other.getByText("is a new rig").first()).toBeVisible();
  await other.getByRole("button", { name: "Take it in" }).click();
  await expect(other.getByText("2 entries taken in.")).toBeVisible();

  await setMeterNumber(page, "305");
  await setMeterNumber(other, "308");
  await choose(page, await handOut(other));
  await expect(page.getByText("1 number will be at odds")).toBeVisible();
  await page.getByRole("button", { name: "Take it in" }).click();
  await expect(page.getByText("1 entry taken in.")).toBeVisible();
  await context.close();

  await page.goto("./#/book");
  await expect(page.getByRole("button", { name: /^305 / })).toBeVisible();
  await page.getByRole("button", { name: /^308 \(Ben/ }).click();
  await expect(page.getByText("two devices")).toHaveCount(0);
  await page.goto("./#/keyin");
  await expect(page.getByRole("row", { name: /^Meter number 308/ })).toBeVisible();
});

test("what cannot be read in a file is kept and goes along with the next copy", async ({ page }) => {
  await loadExamples(page);
  const torn = '{"schema":1,"id":"k3f9a2bc-1","at":"2026';
  const copy = await handOut(page);
  await choose(page, `${copy.slice(0, copy.lastIndexOf("sha256"))}${torn}\n`);
  await expect(page.getByText("1 text cannot be read.")).toBeVisible();
  await expect(page.getByText(/cut short or altered/)).toBeVisible();
  await page.getByRole("button", { name: "Take it in" }).click();
  await expect(page.getByText("0 entries taken in.")).toBeVisible();
  await page.reload();
  await expectStarted(page);
  await expect(page.getByRole("alert").filter({ hasText: "cannot be read" })).toBeVisible();
  expect(await handOut(page)).toContain(JSON.stringify(torn));
});

// Another entry under an id that is taken: both are kept in the journal, so that either is there when local storage is not.
test("an entry with an id that is taken goes beside the one that has it", async ({ page }) => {
  await visitOnce(page, "./#/book");
  await page.getByLabel("Note", { exact: true }).fill("ours");
  await page.getByRole("button", { name: "Save note" }).click();
  await expect(page.locator("[data-entry-id]")).toHaveCount(1);
  const texts = () =>
    page.evaluate(async () => {
      const database = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open("boomwright");
        request.onsuccess = () => resolve(request.result);
      });
      const all = await new Promise<string[]>((resolve) => {
        const request = database.transaction("entries").objectStore("entries").getAll();
        request.onsuccess = () => resolve(request.result);
      });
      database.close();
      return all;
    });
  const [ours] = await texts();
  const open = ours.slice(0, ours.lastIndexOf(',"sum":"')).replace('"ours"', '"theirs"');
  const theirs = `${open},"sum":"${crc32(open)}"}`;
  await choose(page, `boomwright-book 1\n${theirs}\n`);
  await expect(page.getByText(/have the id of another entry/)).toBeVisible();
  await page.getByRole("button", { name: "Take it in" }).click();
  await expect(page.getByText("1 entry taken in.")).toBeVisible();
  expect((await texts()).sort()).toEqual([ours, theirs].sort());
});

for (const format of ["A4", "Letter"]) {
  test(`the key-in sheet of five sections and three pumps fits one page of ${format}`, async ({ page }) => {
    await loadExamples(page);
    await page.goto("./#/keyin");
    await expect(page.getByRole("row", { name: /^Pump 3: pump number/ })).toBeVisible();
    const pdf = await page.pdf({ format });
    expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
  });
}
