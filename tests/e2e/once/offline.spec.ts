// After one visit the app needs no server: cold start, reload, a link deep into it, under a sub-path, in a new browser.

import { expect, expectStarted, openProfile, test, visitOnce } from "../../support/app.ts";

// Nothing may come from the browser's ordinary cache, or these tests would pass without a worker.
test.use({ maxAge: 0 });

test("starts in a new tab with the server stopped", async ({ page, context, site }) => {
  await visitOnce(page);
  await site.stop();
  const tab = await context.newPage();
  await tab.goto(site.url);
  await expectStarted(tab);
});

test("reloads with the server stopped", async ({ page, site }) => {
  await visitOnce(page);
  await site.stop();
  await page.reload();
  await expectStarted(page);
});

test("follows a deep link with the server stopped", async ({ page, context, site }) => {
  await visitOnce(page);
  await site.stop();
  const tab = await context.newPage();
  await tab.goto(`${site.url}#/book`);
  await expectStarted(tab);
});

test("follows a deep link with the network switched off", async ({ page, context, site }) => {
  await visitOnce(page);
  await context.setOffline(true);
  const tab = await context.newPage();
  await tab.goto(`${site.url}#/prove`);
  await expectStarted(tab);
});

test("starts in a new browser with the server stopped", async ({ profile, site, watch }) => {
  const first = await openProfile(profile);
  watch(first);
  await visitOnce(first.pages()[0], site.url);
  await first.close();
  await site.stop();
  const second = await openProfile(profile);
  watch(second);
  await second.pages()[0].goto(site.url);
  await expectStarted(second.pages()[0]);
  await second.close();
});

test.describe("under a sub-path", () => {
  test.use({ basePath: "/some/sub/path/" });

  test("works with and without the server", async ({ page, site }) => {
    await visitOnce(page, site.url);
    expect(new URL(page.url()).pathname).toBe("/some/sub/path/");
    await site.stop();
    await page.reload();
    await expectStarted(page);
  });
});

test("the copy is complete: every file on the list is kept", async ({ page, site }) => {
  await visitOnce(page);
  const { kept, listed } = await page.evaluate(async () => {
    const names = (await caches.keys()).filter((name) => name.startsWith("boomwright-"));
    const requests = await (await caches.open(names[0])).keys();
    const worker = await (await fetch("sw.js")).text();
    const list: [string, string][] = JSON.parse(worker.match(/^const FILES = (\[.*\]);/m)![1]);
    return {
      kept: requests.map((request) => request.url).sort(),
      listed: list.map(([address]) => new URL(address, location.href).href).sort(),
    };
  });
  expect(listed).toContain(`${site.url}index.html`);
  expect(kept).toEqual(listed);
});
