// A course trial by the wheel: rolled ten turns beside a tape, its pulses against the number that is keyed in.

import { expect, expectNoAxeViolations, expectStarted, test, visitOnce } from "../support/app.ts";

test("ten turns beside a tape give the console’s number", async ({ page, site }) => {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await page.getByRole("link", { name: /drainage-road carrier/ }).click();
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name: "Prove", exact: true }).click();
  await page.getByRole("button", { name: /^Course trial/ }).click();
  await page.getByRole("radio", { name: "By the wheel and a tape" }).click();
  await expect(page.getByRole("textbox", { name: "Turns of the wheel", exact: true })).toHaveValue("10");
  await expect(page.getByRole("textbox", { name: "Pulses in a turn", exact: true })).toHaveValue("60");
  await expect(page.getByRole("radio", { name: "Out" })).toHaveCount(0);
  const tape = page.getByRole("textbox", { name: "Tape says, over all turns", exact: true });
  for (const taped of ["24.01", "23.99"]) {
    await tape.fill(taped);
    await page.getByRole("button", { name: "Add run" }).click();
    await expect(tape).toHaveValue("");
  }
  // The third stands half typed when the signal goes.
  await tape.pressSequentially("24.0");
  await site.stop();
  await page.reload();
  await expectStarted(page);
  await expect(tape).toHaveValue("24.0");
  await page.getByRole("button", { name: "Add run" }).click();

  // By hand: 24 m in ten turns are 2.4 m; 60 pulses a turn are 25 in a metre, 2500 on 100 m instead of 2521. The console would
  // show 600 ÷ 25.21 = 23.80 m, 0.83 % too little.
  await expect(page.getByText(/The wheel rolls 2\.400\d* ± [\d.]+\sm in a turn: 25 pulses in a metre/)).toBeVisible();
  await expect(page.getByText(/Error −0\.83\s%/)).toBeVisible();
  await expectNoAxeViolations(page);
  await page.getByRole("button", { name: "Put the new number on the rig" }).click();
  await expect(page.getByText(/The rig has 2500 instead of 2521/)).toBeVisible();
  const over = () => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(await over()).toBeLessThanOrEqual(0);
});
