// Plumbing and lag: lines described in two minutes, the lag sheet against a calculation by hand, and each thing that cannot
// be computed named where it is mended.

import { expect, expectNoAxeViolations, expectStarted, test, visitOnce } from "../support/app.ts";
import type { Locator, Page } from "@playwright/test";

const main = (page: Page): Locator => page.getByRole("main");
const box = (page: Page, name: string): Locator => page.getByRole("textbox", { name, exact: true });

async function type(page: Page, name: string, text: string): Promise<void> {
  await box(page, name).fill(text);
  await box(page, name).press("Tab");
}

async function nav(page: Page, name: string): Promise<void> {
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name, exact: true }).click();
}

async function openExample(page: Page, name: RegExp): Promise<void> {
  await visitOnce(page);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await page.getByRole("link", { name }).click();
  await expect(page.getByRole("heading", { level: 1 })).toBeVisible();
  await nav(page, "Lag");
  await expect(page.getByRole("heading", { level: 1, name: "Lag sheet" })).toBeVisible();
}

async function openPlumbing(page: Page): Promise<void> {
  // While lines are missing the sentence about it leads there too.
  await page.getByRole("link", { name: "To the plumbing" }).last().click();
  await expect(page.getByRole("heading", { level: 1, name: "Plumbing" })).toBeVisible();
}

/** A figure of the sheet: the number after its label, and the number of the line below. */
async function figure(page: Page, label: string): Promise<[number, number]> {
  const text = await main(page).locator(".reading", { hasText: label }).first().innerText();
  const numbers = text.replace(label, "").match(/\d+(\.\d+)?/g)?.map(Number) ?? [];
  return [numbers[0] ?? NaN, numbers[1] ?? NaN];
}

async function expectNoSideways(page: Page): Promise<void> {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(wide, "pixels past the right edge").toBeLessThanOrEqual(0);
}

// The metric example: 200 L/ha and 1.5 L/ha of product at 8 km/h on 12 m; 6 m of 25 mm main, 4 m of 19 mm hose to each of
// four sections, 0.25 m to the first nozzle and 0.5 m from one to the next of six, all in 19 mm.
const circle = (mm: number) => (Math.PI / 4) * (mm / 1000) ** 2;
const speed = 8 / 3.6;
const flow = ((200 + 1.5) * 8 * 12) / 600 / 60_000;
const mainTime = (circle(25) * 6) / flow;
const sectionFlow = flow / 4;
const firstTime = mainTime + (circle(19) * (4 + 0.25)) / sectionFlow;
// From nozzle to nozzle 5/6, 4/6 … of the section's flow is left: 0.5 m × (6/5 + 6/4 + 6/3 + 6/2 + 6) = 6.85 m at full flow.
const lastTime = firstTime + (circle(19) * 0.5 * (6 / 5 + 6 / 4 + 6 / 3 + 6 / 2 + 6)) / sectionFlow;

test("the lag sheet is that of a calculation by hand, on one page, and there without a server", async ({ page, site }) => {
  await openExample(page, /drainage-road carrier/);
  // Shown to three digits. By hand every nozzle has the same flow; in truth they differ by less than half a percent.
  const expectLags = async () => {
    const [firstM, firstS] = await figure(page, "First nozzle");
    expect(Math.abs(firstS - firstTime)).toBeLessThan(0.06);
    expect(Math.abs(firstM - firstTime * speed)).toBeLessThan(0.06);
    const [lastM, lastS] = await figure(page, "Last nozzle");
    expect(Math.abs(lastS / lastTime - 1)).toBeLessThan(0.005);
    expect(Math.abs(lastM / (lastTime * speed) - 1)).toBeLessThan(0.005);
  };
  await expectLags();
  // In the open lines, by hand: 7 m of 25 mm and 4 × (4 + 2.75) m of 19 mm.
  const fill = (circle(25) * 7 + circle(19) * 4 * 6.75) * 1000;
  await expect(main(page)).toContainText(new RegExp(`hold ${fill.toFixed(1)}\\sL from pump`));
  await expectNoSideways(page);
  await page.evaluate(() => scrollTo(0, 0));
  await expectNoAxeViolations(page);
  const pdf = (await page.pdf({ format: "A4" })).toString("latin1");
  expect(pdf.match(/\/Type\s*\/Page\b/g)?.length).toBe(1);

  // Half the speed at the same rate: twice the time, and nearly the same distance.
  await type(page, "Speed for lag and pressures", "4");
  await expect.poll(async () => (await figure(page, "First nozzle"))[1]).toBeGreaterThan(firstTime * 1.9);
  expect(Math.abs((await figure(page, "First nozzle"))[0] - firstTime * speed)).toBeLessThan(0.06);
  await expect(page.getByRole("status").filter({ hasText: /^Saved$/ })).toBeVisible();

  await site.stop();
  await page.reload();
  await expectStarted(page);
  await expect(box(page, "Speed for lag and pressures")).toHaveValue("4");
  await type(page, "Speed for lag and pressures", "");
  await expect.poll(async () => Math.abs((await figure(page, "First nozzle"))[1] - firstTime)).toBeLessThan(0.06);
  await expectLags();
  await openPlumbing(page);
  await expect(main(page).getByRole("img", { name: /24 nozzles in 4 sections/ })).toBeVisible();
});

test("a technician plumbs a rig with five answers", async ({ page }) => {
  await visitOnce(page);
  await page.getByRole("button", { name: "Blank rig, US units" }).click();
  await type(page, "Name of the rig", "Ditch truck 9");
  await type(page, "How many sections", "2");
  for (const n of [1, 2]) {
    await type(page, `Section ${n}: width`, "10 ft");
    await type(page, `Section ${n}: nozzles`, "5");
  }
  await type(page, "Nozzle number (ISO 10625)", "08");
  await type(page, "Carrier rate", "25");
  await type(page, "Standing-test speed", "8");
  await nav(page, "Lag");
  await expect(main(page)).toContainText("Nothing is said about the lines yet");
  await openPlumbing(page);
  await type(page, "Length of the main line", "10 ft");
  await expect(main(page)).toContainText("Bore of the main line: Still needed.");
  await type(page, "Bore of the main line", "1 1/4");
  await type(page, "How much more than the reach", "2 ft");
  await type(page, "Bore of the hoses", "3/4");
  await type(page, "Bore of the sections’ pipes", "3/4");
  await expect(main(page).getByRole("img", { name: /10 nozzles in 2 sections/ })).toBeVisible();
  // Taken as usual, and said so.
  await expect(main(page)).toContainText("a loss of K = 4 for each section valve");
  await expect(main(page)).toContainText("The answer settled after");
  await page.evaluate(() => scrollTo(0, 0));
  await expectNoSideways(page);
  await expectNoAxeViolations(page);
  // A pressure read at the console and the pressure that the nozzles get from it.
  await type(page, "Pressure read at the console", "40");
  const said = main(page).getByText(/That is .* at the nozzles on average/);
  await expect(said).toBeVisible();
  const mean = Number((await said.innerText()).match(/That is ([\d.]+)/)?.[1]);
  expect(mean).toBeGreaterThan(35);
  expect(mean).toBeLessThan(40);
  // By hand: ten nozzles of 0.8 × 0.8454 gal/min at 40 psi, by the square root of the pressure there (43.511 psi are 3 bar).
  const gallons = Number((await said.innerText()).match(/and ([\d.]+)\sgal\/min/)?.[1]);
  const perNozzle = (3.2 / 3.785411784) * Math.sqrt(mean / 43.511);
  expect(Math.abs(gallons / (10 * perNozzle) - 1)).toBeLessThan(0.01);
  await page.getByRole("link", { name: "To the lag sheet" }).click();
  await expect(main(page).getByText(/Start .* before the mark/)).toBeVisible();
});

test("what cannot be computed is named where it is mended", async ({ page }) => {
  await openExample(page, /drainage-road carrier/);
  // All sections shut, and open again.
  for (const n of [1, 2, 3, 4]) await main(page).getByRole("button", { name: `Section ${n}`, exact: true }).click();
  await expect(main(page).getByRole("alert").filter({ hasText: "All sections are shut. Open one." })).toBeVisible();
  await main(page).getByRole("button", { name: "Section 1", exact: true }).click();
  await expect(main(page).getByText(/Start .* before the mark/)).toBeVisible();

  await openPlumbing(page);
  // Where there is room for two columns the form stands open.
  if (!(await box(page, "Bore of the main line").isVisible())) {
    await page.getByRole("heading", { name: "How the lines run" }).click();
  }
  // Zero bore: beside the box, and nothing is computed from it.
  await type(page, "Bore of the main line", "0");
  const field = main(page).locator(".field", { has: box(page, "Bore of the main line") });
  await expect(field.getByRole("alert")).toContainText("Zero cannot be right here");
  await type(page, "Bore of the main line", "25");
  await expect(field.getByRole("alert")).toHaveCount(0);

  // More flow than the pressure of the pump can give: 900 L/ha need (900/200)² times as much.
  await type(page, "Carrier rate for lag and pressures", "900");
  const alert = main(page).getByRole("alert").filter({ hasText: "This has to be mended first" });
  await expect(alert).toContainText("The pump cannot give this flow");
  await expect(alert).toContainText(/holds 8\sbar at most/);
  await type(page, "Carrier rate for lag and pressures", "");
  await expect(alert).toHaveCount(0);

  // A loop: the hose of section 2 led into section 1, which has a hose of its own.
  await page.getByRole("heading", { name: "Every piece" }).click();
  await main(page).getByRole("button", { name: "Hose to section 2", exact: true }).click();
  const piece = main(page).getByRole("region", { name: "Hose to section 2" });
  await piece.getByRole("combobox", { name: "ends at", exact: true }).selectOption({ label: "nozzle 6 of section 1" });
  await expect(alert).toContainText("closes a loop");
  await piece.getByRole("button", { name: "As in the form again" }).click();
  await expect(alert).toHaveCount(0);

  // A nozzle fed from nowhere, reached from the sentence and said beside its box.
  await main(page).getByRole("button", { name: "Pipe to nozzle 2 of section 3", exact: true }).click();
  const pipe = main(page).getByRole("region", { name: "Pipe to nozzle 2 of section 3" });
  await pipe.getByRole("combobox", { name: "begins at", exact: true }).selectOption({ label: "nozzle 6 of section 3" });
  await expect(alert).toContainText("Fed from nowhere");
  await pipe.getByRole("button", { name: "Close this piece" }).click();
  await alert.getByRole("button", { name: "Open: Pipe to nozzle 2 of section 3" }).click();
  await expect(pipe.locator(".field__problem", { hasText: "Fed from nowhere" })).toBeVisible();
  await pipe.getByRole("button", { name: "As in the form again" }).click();
  await expect(alert).toHaveCount(0);

  // A Reynolds number beyond the formulas. By hand: 20 000 L/ha are 53 L/s; through 0.5 mm, 4q/(π d ν) is 1.4e8.
  await page.getByText("Fittings, walls, heights, liquid, gauge").click();
  await type(page, "Most pressure the pump can hold", "");
  await type(page, "Bore of the main line", "0.5");
  await type(page, "Carrier rate for lag and pressures", "20000");
  await expect(alert).toContainText("Reynolds number");
  await alert.getByRole("button", { name: "Open: Line to the injection point" }).click();
  const line = main(page).getByRole("region", { name: "Line to the injection point" });
  await expect(line.locator(".field__problem", { hasText: "Reynolds number" })).toBeVisible();
  await page.evaluate(() => scrollTo(0, 0));
  await expectNoSideways(page);
  await expectNoAxeViolations(page);
});

test("the cab card says the lead-in and the flush", async ({ page }) => {
  await openExample(page, /ditch-bank truck/);
  // Three products, and still one page of the sheet.
  await expect(main(page).getByRole("row", { name: /Product C/ })).toBeVisible();
  const sheet = (await page.pdf({ format: "Letter" })).toString("latin1");
  expect(sheet.match(/\/Type\s*\/Page\b/g)?.length).toBe(1);
  const lead = (await main(page).getByText(/Start .* before the mark/).innerText()).match(/Start (\S+\s\S+) before/)?.[1] ?? "";
  await nav(page, "Reach");
  await main(page).getByRole("link", { name: "Cab card" }).click();
  await expect(main(page)).toContainText(`Start ${lead} before the mark`);
  await expect(main(page)).toContainText(/Flush the lines with [\d.]+\sgal of carrier/);
  const pdf = (await page.pdf({ format: "Letter" })).toString("latin1");
  expect(pdf.match(/\/Type\s*\/Page\b/g)?.length).toBe(1);
});
