// Pictures of screens: node tools/shots.mjs [--demo] [--full] [#/route …]. Called by `cargo xtask shots`.

import { mkdirSync } from "node:fs";
import { chromium } from "playwright-core";
import { args, executablePath, screens } from "../support/browser.mjs";
import { startSite } from "../support/server.mjs";

const words = process.argv.slice(2);
const demo = words.includes("--demo");
const fullPage = words.includes("--full");
const routes = words.filter((word) => word.startsWith("#"));
const unknown = words.filter((word) => !word.startsWith("#") && !["--demo", "--full"].includes(word));
if (unknown.length > 0) throw new Error(`shots does not know ${unknown.join(" ")}; routes begin with #`);
if (routes.length === 0) routes.push("#/");

const out = new URL("../../target/shots/", import.meta.url).pathname;
const site = await startSite();
const browser = await chromium.launch({ executablePath, args });
for (const [screen, options] of Object.entries(screens)) {
  mkdirSync(out + screen, { recursive: true });
  const context = await browser.newContext({ ...options, locale: "en-US" });
  const page = await context.newPage();
  await open(page, "#/");
  if (demo) {
    await page.getByRole("button", { name: "Load the example rigs" }).click();
    await page.getByText("Saved").first().waitFor();
  }
  for (const route of routes) {
    await open(page, route);
    const name = route.replace(/^#\/?/, "").replace(/[^\w-]+/g, "-") || "start";
    const path = `${out}${screen}/${name}.png`;
    await page.screenshot({ path, fullPage, animations: "disabled" });
    console.log(path);
  }
  await context.close();
}
await browser.close();
await site.stop();

async function open(page, route) {
  await page.goto(site.url + route);
  await page.getByRole("heading", { level: 1 }).first().waitFor();
  // Fonts, drawings and the first answers of the database.
  await page.waitForLoadState("networkidle");
}
