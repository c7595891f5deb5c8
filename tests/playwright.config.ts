// Tests in `e2e/` run on three sizes of screen. Those in `e2e/once/` do not depend on the size and run on the phone only.

import { defineConfig } from "@playwright/test";
import { args, executablePath, screens } from "./support/browser.mjs";

const everywhere = { testIgnore: "once/**" };

export default defineConfig({
  testDir: "e2e",
  outputDir: "results",
  // Two cores in the continuous integration; the browser itself uses more than one.
  workers: 2,
  fullyParallel: true,
  forbidOnly: true,
  retries: 0,
  timeout: 60_000,
  expect: { timeout: 10_000 },
  reporter: [["line"]],
  use: {
    browserName: "chromium",
    launchOptions: { executablePath, args },
    locale: "en-US",
    trace: "retain-on-failure",
  },
  projects: [
    { name: "phone", use: screens.phone },
    { name: "tablet", use: screens.tablet, ...everywhere },
    { name: "desktop", use: screens.desktop, ...everywhere },
  ],
});
