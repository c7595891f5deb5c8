// The core of the job, for real: describe a rig by hand, read its sheet, prove the meter with a wrong stamped number, take
// the new number, lose the server, reload: everything is there.

import { expect, expectNoAxeViolations, expectStarted, test, visitOnce } from "../support/app.ts";
import type { Page } from "@playwright/test";

async function type(page: Page, label: string, text: string): Promise<void> {
  const box = page.getByRole("textbox", { name: label, exact: true });
  await box.fill(text);
  await box.press("Tab");
}

async function saved(page: Page): Promise<void> {
  await expect(page.getByRole("status").filter({ hasText: /^Saved$/ })).toBeVisible();
}

async function choose(page: Page, label: string, option: string): Promise<void> {
  await page.getByRole("combobox", { name: label, exact: true }).selectOption({ label: option });
}

async function nav(page: Page, name: string): Promise<void> {
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name, exact: true }).click();
}

test("a rig described by hand is proven with water and kept without a server", async ({ page, site }) => {
  test.setTimeout(120_000);
  await visitOnce(page);

  // The rig: three sections, typed as the tape says them.
  await page.getByRole("button", { name: "Blank rig, US units" }).click();
  await type(page, "Name of the rig", "Ditch truck 7");
  await choose(page, "The console counts the meter in", "pulses per gal");
  // 760 is wrong on purpose; the true number is worked out below.
  await type(page, "Meter number", "760");
  await choose(page, "The console counts distance in", "pulses per 300 ft");
  await type(page, "Course number", "1190");
  await type(page, "How many sections", "3");
  await type(page, "Section 1: width", "144 in");
  await type(page, "Section 2: width", "12 ft 6 in");
  await type(page, "Section 3: width", "3.6576 m");
  await type(page, "Carrier rate", "20");
  await saved(page);
  // Common practice, no source: 144 in is 12 ft.
  await expect(page.getByText("= 144 in = 12 ft = 3.658 m")).toBeVisible();

  // Text that cannot be right gets a sentence and is not lost.
  await type(page, "Section 2: width", "3 mi");
  await expect(page.getByText(/Outside what is possible here/)).toBeVisible();
  await page.reload();
  await expectStarted(page);
  await expect(page.getByRole("textbox", { name: "Section 2: width", exact: true })).toHaveValue("3 mi");
  await type(page, "Section 2: width", "12 ft 6 in");
  await expect(page.getByText(/Outside what is possible here/)).toBeHidden();

  // The sheet: 12 ft + 12.5 ft + 12 ft = 36.5 ft, by hand.
  await nav(page, "Key-in");
  await expect(page.getByRole("heading", { level: 1 })).toBeVisible();
  await expect(page.getByRole("main")).toContainText("760");
  await expect(page.getByRole("main")).toContainText("36.5");
  await expectNoAxeViolations(page);

  // The trial: runs and answer of the reference table of whole trials (uncertainties 3.2.3, scipy 1.17.1):
  // ratio 1.034220532, new number 786.0076.
  await nav(page, "Prove");
  await page.getByRole("button", { name: /^Meter trial/ }).click();
  for (const [indicated, actual] of [["98.4", "95.2"], ["101.2", "97.6"], ["99.6", "96.5"]]) {
    await type(page, "Console shows", indicated);
    await type(page, "Jug says", actual);
    await page.getByRole("button", { name: "Add run" }).click();
    await expect(page.getByRole("textbox", { name: "Console shows", exact: true })).toHaveValue("");
  }
  await expect(page.getByRole("main")).toContainText("786");
  await expect(page.getByRole("main")).toContainText("+3.4");
  await expectNoAxeViolations(page);
  await page.getByRole("button", { name: "Put the new number on the rig" }).click();
  await saved(page);

  // No server any more.
  await site.stop();
  await page.reload();
  await expectStarted(page);
  await nav(page, "Key-in");
  await expect(page.getByRole("main")).toContainText("786");
  await nav(page, "Rig");
  await page.getByRole("link", { name: /Ditch truck 7/ }).click();
  await page.getByRole("heading", { name: "Flow meter" }).click();
  await page.getByRole("heading", { name: "Boom sections" }).click();
  await expect(page.getByRole("textbox", { name: "Meter number", exact: true })).toHaveValue("786.0");
  await expect(page.getByRole("textbox", { name: "Section 1: width", exact: true })).toHaveValue("144 in");
  await nav(page, "Book");
  await expect(page.getByRole("main")).toContainText("760");
  await expect(page.getByRole("main")).toContainText("786");
  await expectNoAxeViolations(page);
});
