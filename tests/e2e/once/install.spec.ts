// The browser offers to install the app, with our name, pictures and shortcuts.

import { expect, openProfile, test, visitOnce } from "../../support/app.ts";

test("is installable", async ({ profile, site, watch }) => {
  const context = await openProfile(profile);
  watch(context);
  const page = context.pages()[0];
  await visitOnce(page, site.url);
  const devtools = await context.newCDPSession(page);
  const { installabilityErrors } = await devtools.send("Page.getInstallabilityErrors");
  expect(installabilityErrors).toEqual([]);
  const { errors, data } = await devtools.send("Page.getAppManifest");
  expect(errors).toEqual([]);
  const manifest = JSON.parse(data ?? "{}");
  expect(manifest.shortcuts.map((shortcut: { url: string }) => shortcut.url)).toEqual(["./#/prove", "./#/book"]);
  for (const icon of manifest.icons) {
    const size = await page.evaluate(async (src: string) => {
      const image = await createImageBitmap(await (await fetch(src)).blob());
      return `${image.width}x${image.height}`;
    }, icon.src);
    expect(size, icon.src).toBe(icon.sizes);
  }
  await context.close();
});
