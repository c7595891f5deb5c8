// A long book is told a page at a time, and nothing is left behind.

import { expect, test, visitOnce } from "../../support/app.ts";

test("the forty newest are shown, and the rest when asked for", async ({ page }) => {
  await visitOnce(page, "./#/book");
  for (let n = 1; n <= 43; n += 1) {
    await page.getByLabel("Note", { exact: true }).fill(`Ditch ${n} done.`);
    await page.getByRole("button", { name: "Save note" }).click();
    await expect(page.getByRole("link", { name: `Ditch ${n} done.` })).toBeVisible();
  }
  const rows = page.locator("[data-entry-id]");
  await expect(rows).toHaveCount(40);
  await expect(page.getByRole("link", { name: "Ditch 4 done." })).toBeVisible();
  await expect(page.getByRole("link", { name: "Ditch 3 done." })).toHaveCount(0);
  await page.getByRole("button", { name: "Show more" }).click();
  await expect(rows).toHaveCount(43);
  await expect(page.getByRole("link", { name: "Ditch 1 done." })).toBeVisible();
  await expect(page.getByRole("button", { name: "Show more" })).toHaveCount(0);
});
