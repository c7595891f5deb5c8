// What every end-to-end test starts from: its own server (and so its own origin and storage), a watch over what the page
// does, and a few words for what tests do often.

import AxeBuilder from "@axe-core/playwright";
import { type BrowserContext, type Page, test as base, chromium, expect } from "@playwright/test";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { args, executablePath } from "./browser.mjs";
import { startSite } from "./server.mjs";

export { expect };
export type Site = Awaited<ReturnType<typeof startSite>>;

interface Fixtures {
  /** Path under which the app is served. */
  basePath: string;
  /** Seconds the host lets a browser use a file without asking again. */
  maxAge: number;
  site: Site;
  profile: string;
  watch: (context: BrowserContext) => void;
}

export const test = base.extend<Fixtures>({
  basePath: ["/", { option: true }],
  maxAge: [600, { option: true }],
  site: async ({ basePath, maxAge }, use) => {
    const site = await startSite({ base: basePath, maxAge });
    await use(site);
    await site.stop();
  },
  baseURL: async ({ site }, use) => use(site.url),
  /** A folder for `openProfile`; it outlives the browser and goes with the test. */
  profile: async ({}, use) => {
    const dir = mkdtempSync(join(tmpdir(), "boomwright-profile-"));
    await use(dir);
    rmSync(dir, { recursive: true, force: true, maxRetries: 5 });
  },
  /** Any page error, and any request that leaves the site, fails the test. Contexts a test opens itself are given to it. */
  watch: [
    async ({ context, site }, use) => {
      const complaints: string[] = [];
      const watch = (watched: BrowserContext) => {
        watched.on("request", (request) => {
          const url = request.url();
          if (!url.startsWith(site.url) && !/^(data|blob):/.test(url)) complaints.push(`request to ${url}`);
        });
        watched.on("weberror", (error) => complaints.push(`page error: ${error.error().stack}`));
        watched.on("console", (message) => {
          const text = message.text();
          if (/Content Security Policy|panicked at/i.test(text)) complaints.push(`console: ${text}`);
        });
      };
      watch(context);
      await use(watch);
      expect(complaints, "what the page must not do").toEqual([]);
    },
    { auto: true },
  ],
});

/** The app has taken over from the static first paint. */
export async function expectStarted(page: Page): Promise<void> {
  await expect(page.getByRole("heading", { level: 1 }).first()).toBeVisible();
  await expect(page.locator("#shell")).toHaveCount(0);
}

/** Opens the app and waits until a later start needs no server. */
export async function visitOnce(page: Page, address = "./"): Promise<void> {
  await page.goto(address);
  await expectStarted(page);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
}

/** A browser whose profile stays on disk, as an installed app has it; what a private window refuses works here. */
export async function openProfile(profile: string, options: Parameters<typeof chromium.launchPersistentContext>[1] = {}) {
  return chromium.launchPersistentContext(profile, { executablePath, args, headless: true, ...options });
}

/** No finding under WCAG 2.2 AA, the best practices, and the contrast that is asked of a screen in the sun. */
export async function expectNoAxeViolations(page: Page): Promise<void> {
  const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
  const results = await new AxeBuilder({ page })
    .options({ runOnly: { type: "tag", values: tags }, rules: { "color-contrast-enhanced": { enabled: true } } })
    .analyze();
  const found = results.violations.map(({ id, nodes }) => ({ id, where: nodes.map((node) => node.target.join(" ")) }));
  expect(found, "findings of axe").toEqual([]);
}
