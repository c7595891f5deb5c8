// Reach: the window moves as the plan does, and what binds is said.

import { expect, expectNoAxeViolations, test, visitOnce } from "../support/app.ts";

test("the window follows the carrier rate and comes back to the plan", async ({ page }) => {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await expect(page.getByRole("link", { name: /ditch-bank truck/ })).toBeVisible();
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name: "Reach", exact: true }).click();
  const main = page.getByRole("main");
  const sentence = main.getByText(/Held from/);
  await expect(sentence).toBeVisible();
  const low = async () => Number((await sentence.textContent())?.match(/from ([\d.]+)/)?.[1]);
  const before = await low();
  for (let n = 0; n < 5; n += 1) await main.getByRole("button", { name: "Carrier rate: more" }).click();
  await expect.poll(low).toBeLessThan(before);
  // By hand: the nozzles set the lower end, v = q·495/(R·w), and carry the product too. The example adds 64 + 32 fl oz/ac,
  // 0.75 gal/ac, and a quart in 100 gal: 25·1.0025 + 0.75 = 25.8125, and 30·1.0025 + 0.75 = 30.825 gal/ac in all.
  // Both speeds are shown to three digits.
  expect(Math.abs((await low()) * 30.825 - before * 25.8125)).toBeLessThan(0.3);
  // From the top: halfway down, the navigation at the foot covers part of whichever button lies there, and that part
  // would be measured as the button's size.
  await page.evaluate(() => scrollTo(0, 0));
  await expectNoAxeViolations(page);
  await main.getByRole("button", { name: "Back to the rig’s own plan" }).click();
  await expect.poll(low).toBe(before);
});

test("the card says what the operator keeps to, and fits one page", async ({ page }) => {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await page.getByRole("link", { name: /ditch-bank truck/ }).click();
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name: "Reach", exact: true }).click();
  const main = page.getByRole("main");
  await main.getByRole("link", { name: "Cab card" }).click();
  await expect(page.getByRole("heading", { level: 1, name: "Cab card" })).toBeVisible();
  // The example's hold and top speeds; its nozzles allow more on either side.
  await expect(main.getByText(/5\smph to 11\smph/)).toBeVisible();
  await expect(main.getByText(/Never stand still with the boom on/)).toBeVisible();
  await expectNoAxeViolations(page);
  const pdf = (await page.pdf({ format: "Letter" })).toString("latin1");
  expect(pdf.match(/\/Type\s*\/Page\b/g)?.length).toBe(1);
});
