// The sheet, the book and the settings on every size of screen: nothing in the way of people who cannot see or point well,
// nothing over the edge, and the small things that are done there.

import { expect, expectNoAxeViolations, expectStarted, test } from "../support/app.ts";
import type { Page } from "@playwright/test";

test.beforeEach(async ({ page }) => {
  await page.goto("./");
  await expectStarted(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await expect(page.getByRole("link", { name: /ditch-bank/ })).toBeVisible();
});

async function fits(page: Page): Promise<void> {
  const over = () =>
    page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(await over()).toBeLessThanOrEqual(0);
  const size = page.viewportSize();
  await page.setViewportSize({ width: 320, height: 640 });
  expect(await over()).toBeLessThanOrEqual(0);
  if (size) await page.setViewportSize(size);
}

test("sections switched on add up to what is keyed in", async ({ page }) => {
  await page.goto("./#/keyin");
  // By hand: 144 + 96 + 120 + 96 + 144 = 600 in; without the third and fifth 336 in.
  await expect(page.getByText("5 sections on: 600 in")).toBeVisible();
  await page.getByRole("button", { name: "Section 3", exact: true }).click();
  await page.getByRole("button", { name: "Section 5", exact: true }).click();
  await expect(page.getByText("3 sections on: 336 in")).toBeVisible();
  await expectNoAxeViolations(page);
  await fits(page);
});

test("what is missing and what the console cannot take is said", async ({ page }) => {
  await page.goto("./#/rig");
  await page.getByRole("link", { name: /ditch-bank/ }).click();
  await page.getByRole("heading", { name: "What the console takes" }).click();
  const largest = page.getByRole("textbox", { name: /^Meter number: largest/ });
  await largest.fill("300");
  await largest.press("Tab");
  await page.getByRole("heading", { name: "Boom sections" }).click();
  const width = page.getByRole("textbox", { name: "Section 2: width", exact: true });
  await width.fill("");
  await width.press("Tab");
  await expect(page.getByRole("status").filter({ hasText: /^Saved$/ })).toBeVisible();
  await page.goto("./#/keyin");
  await expect(page.getByText("Still missing: Section 2 width.")).toBeVisible();
  await expect(page.getByRole("alert").filter({ hasText: "takes 300 at most" })).toBeVisible();
  await expectNoAxeViolations(page);
  await fits(page);
  await page.getByRole("link", { name: "Describe it on the rig" }).click();
  await expect(page.getByRole("heading", { name: "Boom sections" })).toBeVisible();
});

test("a correction keeps the original, and takes no nonsense", async ({ page }) => {
  await page.goto("./#/book");
  await page.getByRole("button", { name: "Save note" }).click();
  await expect(page.getByText("Nothing is typed here yet.")).toBeVisible();
  await page.getByLabel("Note", { exact: true }).fill("Rinsed twise.");
  await page.getByRole("button", { name: "Save note" }).click();
  await page.getByRole("link", { name: /^Rinsed twise/ }).click();
  await page.getByText("Put it right", { exact: true }).click();
  const box = page.getByRole("textbox", { name: "Note, corrected" });
  await box.fill("");
  await page.getByRole("button", { name: "Save the correction" }).click();
  await expect(page.getByText("Nothing is typed here yet.")).toBeVisible();
  await box.fill("Rinsed twice.");
  await page.getByRole("button", { name: "Save the correction" }).click();
  await expect(page.getByRole("link", { name: "Puts an earlier entry right" })).toBeVisible();
  await expectNoAxeViolations(page);
  await page.getByRole("link", { name: "Everything written about it" }).click();
  await expect(page.locator("[data-entry-id]")).toHaveCount(2);
  await expectNoAxeViolations(page);
  await fits(page);
  await page.getByRole("link", { name: "Back to the book" }).click();
  await expect(page.getByRole("link", { name: /^Rinsed twise.*put right since/ })).toBeVisible();
  await page.getByLabel("Of which rig").selectOption({ label: "Quillmere drainage-road carrier (example)" });
  await expect(page.locator("[data-entry-id]")).toHaveCount(1);
  await expectNoAxeViolations(page);
  await fits(page);
});

test("the settings have no finding", async ({ page }) => {
  await page.goto("./#/settings");
  await expect(page.getByRole("heading", { level: 1 })).toBeVisible();
  await page.getByRole("radio", { name: "Glove and cab" }).click();
  await expectNoAxeViolations(page);
  await fits(page);
});
