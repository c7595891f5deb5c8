// What is half done in a trial is there again after a reload: typed text, and what the stopwatch said.

import { expect, expectStarted, test, visitOnce } from "../../support/app.ts";

test("a stopwatch reading and half a run survive a reload, and so does a running stopwatch", async ({ page }) => {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await expect(page.getByRole("link", { name: /ditch-bank truck/ })).toBeVisible();
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name: "Prove", exact: true }).click();
  await page.getByRole("button", { name: /^Nozzle catch/ }).click();
  const jug = page.getByRole("textbox", { name: "Jug says", exact: true });
  const seconds = page.getByRole("textbox", { name: "Stopwatch says", exact: true });
  await jug.fill("45");
  await page.getByRole("button", { name: "Start" }).click();
  await page.waitForTimeout(1_200);
  await page.getByRole("button", { name: "Stop" }).click();
  await expect(seconds).toHaveValue(/^[1-9]/);
  const said = await seconds.inputValue();
  await page.getByRole("button", { name: "Start" }).click();

  await page.reload();
  await expectStarted(page);
  await expect(jug).toHaveValue("45");
  await expect(seconds).toHaveValue(said);
  await page.getByRole("button", { name: "Stop" }).click();
  await expect(seconds).not.toHaveValue(said);
});
