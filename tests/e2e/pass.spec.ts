// What a pass will look like: a ready drive becomes a picture that is read by touch and by keys; its numbers are those of a
// hand calculation; what is wrong is told beside its box; everything is there again without a server.

import { expect, expectNoAxeViolations, expectStarted, test, visitOnce } from "../support/app.ts";
import type { Page } from "@playwright/test";

async function begin(page: Page, drive: string): Promise<void> {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await page.getByRole("link", { name: /drainage-road carrier/ }).click();
  await page.getByRole("heading", { name: "Flow meter" }).waitFor();
  await page.goto("./#/lag");
  await page.getByRole("link", { name: "What a pass will look like" }).click();
  await page.getByRole("button", { name: drive, exact: true }).click();
}

async function type(page: Page, label: string, text: string): Promise<void> {
  const box = page.getByRole("textbox", { name: label, exact: true });
  await box.fill(text);
  await box.press("Tab");
}

const picture = (page: Page) => page.getByRole("application");
const reading = (page: Page) => page.getByRole("region", { name: "Dose on the ground" }).getByRole("status");

test("the first product lands where lag times speed says", async ({ page, site }) => {
  test.setTimeout(120_000);
  await begin(page, "Once along the ditch");
  await expect(picture(page)).toBeVisible();
  // Moving from the start, with boom and pump on: no setting off.
  await page.getByText(/^1\. Set off/).click();
  await page.getByRole("button", { name: /^1\. Set off.*: take out$/ }).click();
  await page.getByRole("heading", { name: "Name, start and limits" }).click();
  await type(page, "Speed at the start", "8");
  // By hand, the example's lines at 8 km/h = 2.2222 m/s: 200 + 1.5 L/ha over 12 m are 0.53733 L/s. Main 6 m of 25 mm, 2.9452 L:
  // 5.481 s. Hose 4 m of 19 mm and 0.25 m to the nozzle at the feed, 1.2050 L at a quarter of the flow: 8.970 s. Dead time
  // of the pump 0.3 s. Together 14.751 s or 32.78 m; the picture's tiles are a quarter metre long.
  const first = page.getByText(/First product on the ground at/);
  await expect.poll(async () => Math.abs(Number((await first.textContent())?.match(/at ([\d.]+)/)?.[1]) - 32.65)).toBeLessThan(0.2);

  // The same by the crosshair: nothing a metre before, something a metre after.
  await picture(page).focus();
  await page.keyboard.press("Home");
  await expect(reading(page)).toContainText(/^At 0\.0\sm, nozzle \d+ of 24/);
  await expect(reading(page)).toContainText(/0\s% of the product wanted/);
  // Section 3 begins at the middle of the boom and is fed there: nozzle 13.
  while (!(await reading(page).textContent())?.includes("nozzle 13 ")) await page.keyboard.press("ArrowDown");
  for (let n = 0; n < 12; n += 1) await page.keyboard.press("Shift+ArrowRight");
  for (let n = 0; n < 7; n += 1) await page.keyboard.press("ArrowRight");
  await expect(reading(page)).toContainText(/^At 31\.8\sm/);
  await expect(reading(page)).toContainText(/: 0\s% of the product wanted/);
  await page.keyboard.press("Shift+ArrowRight");
  await expect(reading(page)).toContainText(/^At 34\.3\sm/);
  await expect(reading(page)).not.toContainText(/: 0\s% of the product wanted/);
  await page.keyboard.press("End");
  await expect(reading(page)).toContainText("nothing was to be sprayed here");

  // Product in is product on the ground and in the lines; every share is there; changes are ranked.
  await expect(page.getByRole("row", { name: /^Does not close by < 0\.0000001/ })).toBeVisible();
  await expect(page.getByRole("row", { name: /Above the label maximum 0/ })).toBeVisible();
  const help = page.getByRole("region", { name: "What would help" }).or(page.locator("section", { hasText: "What would help" })).last();
  await expect(help.getByRole("listitem").first()).toContainText(/^Lead-in: start \d/);
  await expect(help.getByRole("listitem").first()).toContainText(/\+[\d.]+\s% of the area/);

  // Without a server the drive and its picture are there again.
  await expect(page.getByRole("status").filter({ hasText: /^Saved$/ })).toBeVisible();
  await site.stop();
  await page.reload();
  await expectStarted(page);
  await expect(picture(page)).toBeVisible();
  await expect(page.getByText(/First product on the ground at 32\./)).toBeVisible();
  await expect(page.getByText(/^1\. Steady/)).toBeVisible();
});

test("a drive is changed step by step, read by touch, and what is wrong is told", async ({ page }) => {
  test.setTimeout(120_000);
  await begin(page, "Past two gates");
  await expect(picture(page)).toBeVisible();
  // By hand: 8 m are 2.2222 m/s for 3.6 s. Setting off 4.444 m, 60, 30, 45, braking and going 8.889 m, 60, ending 4.444 m.
  await expect(page.getByText(/^7 manoeuvres, 213\sm, /)).toBeVisible();

  // Touched in the middle of the stretch with section 1 shut, at the left end of the boom.
  const box = await picture(page).boundingBox();
  if (!box) throw new Error("no picture");
  const at = { x: box.width * (80 / 212.8), y: box.height * 0.05 };
  await picture(page).click({ position: at });
  await expect(reading(page)).toContainText("section 1");
  await expect(reading(page)).toContainText("nothing was to be sprayed here");
  await picture(page).click({ position: { x: at.x, y: box.height * 0.9 } });
  await expect(reading(page)).toContainText("section 4");
  await expect(reading(page)).toContainText(/% of the product wanted/);
  await page.getByRole("radio", { name: /Carrier$/ }).check();
  await expect(page.getByRole("application", { name: /^Carrier on the ground/ })).toBeVisible();

  await page.getByText(/^3\. Sections shut/).click();
  await type(page, "Sections that are shut", "9");
  await expect(page.getByText("The rig has no section 9.").first()).toBeVisible();
  await expect(picture(page)).toBeHidden();
  await type(page, "Sections that are shut", "1, 2");
  await expect(picture(page)).toBeVisible();

  // Another manoeuvre stands before the end, opens, and can be put earlier.
  await page.getByRole("combobox", { name: "Manoeuvre to add" }).selectOption({ label: "Below the minimum-speed hold" });
  await page.getByRole("button", { name: "Add", exact: true }).click();
  await expect(page.getByText(/^7\. Below the minimum-speed hold: 2\.4 km\/h/)).toBeVisible();
  await type(page, "Speed below the hold", "4");
  await expect(page.getByText(/not below the rig’s minimum-speed hold of 4\skm\/h/).first()).toBeVisible();
  await type(page, "Speed below the hold", "2");
  await page.getByRole("button", { name: /^7\. Below the minimum-speed hold.*: earlier$/ }).click();
  await expect(page.getByText(/^6\. Below the minimum-speed hold/)).toBeVisible();
  // Held output at half the hold speed: twice what was wanted, and that is above the label's 3 L/ha for 1.5 L/ha and more.
  await expect(page.getByText(/^Most: /)).toBeVisible();
  await page.evaluate(() => scrollTo(0, 0));
  await expectNoAxeViolations(page);
});

test("a rig whose lines nobody described is led to them", async ({ page }) => {
  await visitOnce(page);
  await page.getByRole("button", { name: "Blank rig, US units" }).click();
  await expect(page.getByLabel("Name of the rig")).toBeVisible();
  await page.goto("./#/pass");
  await page.getByRole("button", { name: "Once along the ditch", exact: true }).click();
  await expect(page.getByRole("alert").filter({ hasText: "How the lines run is not known" })).toBeVisible();
  await page.getByRole("link", { name: "To the lines" }).click();
  await expect(page.getByRole("heading", { level: 1 })).toBeVisible();
});
