// The app starts, on every size of screen, and nothing stands in the way of people who cannot see or point well.

import { expect, expectNoAxeViolations, expectStarted, test } from "../support/app.ts";

test("starts", async ({ page }) => {
  await page.goto("./");
  await expectStarted(page);
  await expect(page).toHaveTitle(/Boomwright/);
});

test("the first screen has no accessibility finding", async ({ page }) => {
  await page.goto("./");
  await expectStarted(page);
  await expectNoAxeViolations(page);
});

test("nothing reaches over the edge", async ({ page }) => {
  await page.goto("./");
  await expectStarted(page);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(over).toBeLessThanOrEqual(0);
});
