// A new version waits for the user, and a broken deployment harms nobody. Each test deploys by starting the server of the
// same address with another folder.

import { type Page } from "@playwright/test";
import { expect, expectStarted, test, visitOnce } from "../../support/app.ts";
import { keptFiles, nextBuild, removeFile } from "../../support/builds.ts";
import { cpSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const applyButton = (page: Page) => page.getByRole("button", { name: /new version/i });
const build = (page: Page) => page.locator("body").getAttribute("data-build");

/** What a browser does by itself when a page of the app is opened. */
async function lookForUpdate(page: Page): Promise<string> {
  return page.evaluate(async () => {
    const registration = (await navigator.serviceWorker.getRegistration())!;
    try {
      await registration.update();
    } catch (error) {
      return `${error}`;
    }
    const worker = registration.installing ?? registration.waiting;
    if (!worker) return "nothing new";
    while (worker.state === "installing") {
      await new Promise((done) => worker.addEventListener("statechange", done, { once: true }));
    }
    return worker.state;
  });
}

test("a new version waits until the user takes it, then every tab has it", async ({ page, context, site }) => {
  await visitOnce(page);
  const other = await context.newPage();
  await visitOnce(other);
  await site.start(nextBuild("second"));
  expect(await lookForUpdate(page)).toBe("installed");
  await expect(applyButton(page)).toBeVisible();
  // Still the old one, even after a reload: the new one has not been asked for.
  await page.reload();
  await expectStarted(page);
  expect(await build(page)).toBeNull();
  await applyButton(page).click();
  await expect(page.locator("body")).toHaveAttribute("data-build", "second");
  await expect(other.locator("body")).toHaveAttribute("data-build", "second");
  await expectStarted(page);
  await expect(applyButton(page)).toHaveCount(0);
  const caches = await page.evaluate(() => caches.keys());
  expect(caches.filter((name) => name.startsWith("boomwright-"))).toHaveLength(1);
});

test("the first visit is not reloaded when its copy is complete", async ({ page }) => {
  let loads = 0;
  page.on("load", () => (loads += 1));
  await visitOnce(page);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.waitForTimeout(500);
  expect(loads).toBe(1);
  await expect(applyButton(page)).toHaveCount(0);
});

test("a deployment with one file missing leaves the old version running", async ({ page, site }) => {
  await visitOnce(page);
  const broken = nextBuild("broken");
  const program = keptFiles(broken).find(([name]) => name.endsWith(".wasm"))!;
  removeFile(broken, program[0]);
  await site.start(broken);
  expect(await lookForUpdate(page)).toBe("redundant");
  await expectOldOnly(page);
  await site.stop();
  await page.reload();
  await expectStarted(page);
  expect(await build(page)).toBeNull();
});

test("a file whose bytes are of another build is refused", async ({ page, site }) => {
  await visitOnce(page);
  const mixed = nextBuild("mixed");
  writeFileSync(join(mixed, "manifest.webmanifest"), "{}");
  await site.start(mixed);
  expect(await lookForUpdate(page)).toBe("redundant");
  await expectOldOnly(page);
});

async function expectOldOnly(page: Page): Promise<void> {
  await expect(applyButton(page)).toHaveCount(0);
  const names = await page.evaluate(() => caches.keys());
  expect(names.filter((name) => name.startsWith("boomwright-"))).toHaveLength(1);
  await page.reload();
  await expectStarted(page);
  expect(await build(page)).toBeNull();
}

test("caches of other apps on the same host are left alone", async ({ page, site }) => {
  await visitOnce(page);
  await page.evaluate(async () => {
    await caches.open("somebody-else");
    await caches.open("boomwright-/elsewhere/-1234");
  });
  await site.start(nextBuild("second"));
  expect(await lookForUpdate(page)).toBe("installed");
  await applyButton(page).click();
  await expect(page.locator("body")).toHaveAttribute("data-build", "second");
  await expect.poll(() => page.evaluate(() => caches.keys())).toHaveLength(3);
  const names = await page.evaluate(() => caches.keys());
  expect(names).toContain("somebody-else");
  expect(names).toContain("boomwright-/elsewhere/-1234");
});

test("a worker can be withdrawn: its copy goes, records stay, pages come from the host", async ({ page, site }) => {
  await visitOnce(page);
  await page.evaluate(() => localStorage.setItem("boomwright/test", "kept"));
  const dir = nextBuild("mended");
  cpSync(new URL("../../../crates/xtask/src/worker/retire.js", import.meta.url), join(dir, "sw.js"));
  await site.start(dir);
  await page.evaluate(async () => void (await navigator.serviceWorker.getRegistration())!.update());
  // Nobody is asked: the page reloads as soon as the worker is gone.
  await expect(page.locator("body")).toHaveAttribute("data-build", "mended");
  await expectStarted(page);
  const left = await page.evaluate(async () => (await caches.keys()).filter((name) => name.startsWith("boomwright-")));
  expect(left).toEqual([]);
  expect(await page.evaluate(() => localStorage.getItem("boomwright/test"))).toBe("kept");
});
